/*
 * completion_bash.c - the completion script for bash.
 *
 * The shell's own list of words has quotes in it and is cut at colons, so the script splits the
 * line itself. It quotes each name that it offers. `compgen -W` evaluates its words, so it is only
 * asked with words of the tables.
 */
#include "command/completion.h"

static const char split[] =
    "# Splits a line into words without their quotes, and evaluates nothing. The shell replaces\n"
    "# the last word from \"cut\" on; \"open\" is the quote that is open there.\n"
    "_rotortab_split()\n"
    "{\n"
    "    local text=$1 sign word='' begun='' before=0 i\n"
    "    words=() cut=0 open=''\n"
    "    for (( i = 0; i < ${#text}; i++ )); do\n"
    "        sign=${text:i:1}\n"
    "        if [[ $sign == \\\\ && $open != \"'\" ]]; then\n"
    "            (( ++i ))\n"
    "            word+=${text:i:1} begun=yes\n"
    "        elif [[ $open && $sign == \"$open\" ]]; then\n"
    "            open='' cut=$before\n"
    "        elif [[ $open ]]; then\n"
    "            word+=$sign\n"
    "        elif [[ $sign == [\\'\\\"] ]]; then\n"
    "            open=$sign before=$cut cut=${#word} begun=yes\n"
    "        elif [[ $sign == [[:space:]] ]]; then\n"
    "            [[ $begun ]] && words+=(\"$word\")\n"
    "            word='' begun='' cut=0\n"
    "        else\n"
    "            word+=$sign begun=yes\n"
    "            [[ $COMP_WORDBREAKS == *\"$sign\"* ]] && cut=${#word}\n"
    "        fi\n"
    "    done\n"
    "    words+=(\"$word\")\n"
    "}\n";

static const char offer[] =
    "# Offers the texts that begin like the word at the cursor, quoted as it is.\n"
    "_rotortab_offer()\n"
    "{\n"
    "    local text\n"
    "    for text; do\n"
    "        [[ $text == \"$word\"* ]] || continue\n"
    "        text=$lead$text\n"
    "        text=${text:cut}\n"
    "        case $open in\n"
    "        '') printf -v text %q \"$text\" ;;\n"
    "        \\') [[ $text != *\\'* ]] || continue ;;\n"
    "        \\\") [[ $text != *[\\\"\\$\\`\\\\!]* ]] || continue ;;\n"
    "        esac\n"
    "        COMPREPLY+=(\"$text\")\n"
    "    done\n"
    "}\n"
    "\n"
    "# Offers files; if none of the kind is there, others.\n"
    "_rotortab_files()\n"
    "{\n"
    "    local piece=${COMP_WORDS[COMP_CWORD]} ending\n"
    "    [[ $piece == = ]] && piece=''\n"
    "    compopt -o filenames\n"
    "    case $1 in\n"
    "    sources)\n"
    "        mapfile -t COMPREPLY < <(compgen -d -- \"$piece\"\n"
    "            for ending in yaml yml json; do\n"
    "                compgen -f -X \"!*.$ending\" -- \"$piece\"\n"
    "            done) ;;\n"
    "    tables)\n"
    "        mapfile -t COMPREPLY < <(compgen -d -- \"$piece\"\n"
    "            compgen -f -X '!*.rotor' -- \"$piece\") ;;\n"
    "    esac\n"
    "    if (( ${#COMPREPLY[@]} )); then\n"
    "        return\n"
    "    fi\n"
    "    case $1 in\n"
    "    sources | plain) mapfile -t COMPREPLY < <(compgen -f -X '*.rotor' -- \"$piece\") ;;\n"
    "    *) mapfile -t COMPREPLY < <(compgen -f -- \"$piece\") ;;\n"
    "    esac\n"
    "}\n";

static const char begin[] =
    "_rotortab()\n"
    "{\n"
    "    local IFS=$' \\t\\n' words cut open word lead='' before command last i\n"
    "    local line=() takes='' what='' first='' rest='' options='' given=0 operands=() found\n"
    "    _rotortab_split \"${COMP_LINE:COMP_POINT}\"\n"
    "    [[ ${COMP_LINE:COMP_POINT:1} == [[:space:]] ]] || words=(\"${words[@]:1}\")\n"
    "    line=(\"${words[@]}\")\n"
    "    _rotortab_split \"${COMP_LINE:0:COMP_POINT}\"\n"
    "    line=(\"${words[@]}\" \"${line[@]}\")\n"
    "    last=$(( ${#words[@]} - 1 ))\n"
    "    word=${words[last]} before=${words[last-1]} command=${words[1]}\n"
    "    if [[ $word == --*=* ]]; then\n"
    "        before=${word%%=*} lead=${word%%=*}= word=${word#*=}\n"
    "    fi\n"
    "    if (( last == 1 )); then\n"
    "        command=''\n"
    "    fi\n"
    "    case $command in\n";

static const char end[] =
    "    esac\n"
    "    for (( i = 2; i < ${#line[@]}; i++ )); do\n"
    "        if [[ $takes == *\" ${line[i]} \"* ]]; then\n"
    "            (( ++i ))\n"
    "        elif [[ ${line[i]} && ${line[i]} != -* ]] && (( i != last )); then\n"
    "            operands+=(\"${line[i]/#\"~/\"/\"$HOME/\"}\")\n"
    "            (( i < last && ++given ))\n"
    "        fi\n"
    "    done\n"
    "    if [[ ! $what && $word == -* ]]; then\n"
    "        what=\"words $options\"\n"
    "    elif [[ ! $what ]]; then\n"
    "        what=$rest\n"
    "        (( given )) || what=$first\n"
    "    fi\n"
    "    COMPREPLY=()\n"
    "    case $what in\n"
    "    'words '*)\n"
    "        mapfile -t found < <(compgen -W \"${what#words }\")\n"
    "        _rotortab_offer \"${found[@]}\" ;;\n"
    "    'names '*)\n"
    "        mapfile -t found < <(\n"
    "            command rotortab names \"${what#names }\" -- \"${operands[@]}\" 2> /dev/null)\n"
    "        _rotortab_offer \"${found[@]}\" ;;\n"
    "    'files '*) _rotortab_files \"${what#files }\" ;;\n"
    "    esac\n"
    "}\n"
    "complete -F _rotortab rotortab\n";

/* The argument as a word of the script. */
static void write_argument(struct completion_argument argument)
{
    static const char *const kinds[] = {[COMPLETION_NOTHING] = "nothing",
                                        [COMPLETION_WORDS] = "words ",
                                        [COMPLETION_NAMES] = "names ",
                                        [COMPLETION_FILES] = "files "};
    printf("'%s%s'", kinds[argument.offer], argument.words);
}

/* What can come after an option that takes an argument. */
static void write_after(struct arena *arena, const struct command *command,
                        enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    if (!option->argument) {
        return;
    }
    printf("        --%s", option->name);
    if (option->letter) {
        printf(" | -%c", option->letter);
    }
    fputs(") what=", stdout);
    write_argument(completion_option(arena, command, id));
    puts(" ;;");
}

static void write_name(struct arena *arena, const struct command *command,
                       enum command_option_id id)
{
    (void)arena;
    (void)command;
    printf(" --%s", command_option(id)->name);
}

static void write_command(struct arena *arena, const struct command *command)
{
    struct completion_operands operands = completion_operands(arena, command);
    printf("    %s)\n        first=", command->name);
    write_argument(operands.first);
    fputs(" rest=", stdout);
    write_argument(operands.rest);
    fputs("\n        takes='", stdout);
    completion_write_taking(command);
    fputs(" '\n        options='", stdout);
    completion_each_option(arena, command, write_name);
    puts("'\n        case $before in");
    completion_each_option(arena, command, write_after);
    puts("        esac ;;");
}

void completion_bash(struct arena *arena)
{
    fputs(split, stdout);
    putchar('\n');
    fputs(offer, stdout);
    putchar('\n');
    fputs(begin, stdout);
    fputs("    '') what='words", stdout);
    for (size_t i = 0; i < COMPLETION_TOP; i++) {
        printf(" --%s", command_option(completion_top[i])->name);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf(" %s", command->name);
    }
    puts("' ;;");
    for (const struct command *command = command_table; command->name; command++) {
        write_command(arena, command);
    }
    fputs(end, stdout);
}
