/*
 * loop.c - the limit: libyaml's events over the same files, without any work on them.
 *
 * usage: loop FOLDER
 */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <yaml.h>

enum { FILE_MOST = 1 << 20 };

static long count_events(const unsigned char *bytes, size_t length)
{
    yaml_parser_t parser;
    long count = 0;
    if (!yaml_parser_initialize(&parser)) {
        exit(1);
    }
    yaml_parser_set_input_string(&parser, bytes, length);
    for (int last = 0; !last; count++) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            exit(1);
        }
        last = event.type == YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    return count;
}

int main(int argc, char **argv)
{
    static unsigned char bytes[FILE_MOST];
    struct dirent **entries;
    long events = 0;
    if (argc != 2) {
        return 2;
    }
    int count = scandir(argv[1], &entries, NULL, alphasort);
    for (int i = 0; i < count; i++) {
        char path[4096];
        snprintf(path, sizeof path, "%s/%s", argv[1], entries[i]->d_name);
        FILE *file = entries[i]->d_name[0] == '.' ? NULL : fopen(path, "rb");
        free(entries[i]);
        if (file) {
            size_t length = fread(bytes, 1, sizeof bytes, file);
            fclose(file);
            events += count_events(bytes, length);
        }
    }
    free(entries);
    printf("%ld events\n", events);
    return 0;
}
