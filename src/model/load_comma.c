/*
 * load_comma.c - a comma in a number or in a text.
 *
 * Between braces a comma ends a value: {pad: 3,05} has the value 3 and a key 05.  Here the program
 * puts the parts of a number together again, so that one comma is one finding.
 */
#include "model/load_parts.h"

#include <string.h>

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Whether the entry is only a key, without a colon. */
static bool is_key_alone(const struct text_node *entry)
{
    return entry->kind == TEXT_SCALAR && entry->length == 0 && entry->key && entry->key->plain &&
           entry->at.line == entry->key->at.end_line &&
           entry->at.column == entry->key->at.end_column;
}

/* Whether the key of the entry begins `gap` columns after the end of a place. */
static bool follows(const struct text_node *entry, const struct span *at, uint32_t gap)
{
    return entry->key->at.line == at->end_line && entry->key->at.column == at->end_column + gap;
}

const struct text_node *model_join_number(struct arena *arena, const struct text_node *node)
{
    struct text_node *joined = NULL;
    if (node->kind != TEXT_SCALAR || !node->plain || node->refused) {
        return node;
    }
    for (const struct text_node *more = node->next; more && is_key_alone(more); more = more->next) {
        const struct text_node *so_far = joined ? joined : node;
        if (so_far->length == 0 || !is_digit(so_far->text[so_far->length - 1]) ||
            !is_digit(more->key->text[0]) || !follows(more, &so_far->at, 1)) {
            break;
        }
        if (!joined) {
            joined = arena_alloc(arena, sizeof *joined);
            *joined = *node;
        }
        joined->text = arena_printf(arena, "%s,%s", joined->text, more->key->text);
        joined->length = strlen(joined->text);
        joined->at.end_line = more->key->at.end_line;
        joined->at.end_column = more->key->at.end_column;
        joined->next = more->next;
    }
    return joined ? joined : node;
}

const struct text_node *model_rest_of_text(const struct model_field *field,
                                           const struct text_node *text,
                                           const struct text_node *entry)
{
    const struct text_node *last = NULL;
    const struct span *end = &text->at;
    if ((field->type != MODEL_TEXT && field->type != MODEL_PROSE) || !text->plain) {
        return NULL;
    }
    for (; entry && is_key_alone(entry) && (follows(entry, end, 1) || follows(entry, end, 2));
         entry = entry->next) {
        last = entry;
        end = &entry->key->at;
    }
    return last;
}

/*
 * The value with a point for each decimal comma; NULL if a comma can also separate thousands: if
 * three digits follow it, and a digit other than a lone 0 precedes it.
 */
static const char *with_points(struct arena *arena, const struct text_node *node)
{
    char *text = arena_copy(arena, node->text, node->length);
    for (size_t i = 0; i < node->length; i++) {
        if (text[i] != ',' || i == 0 || !is_digit(text[i - 1]) || !is_digit(text[i + 1])) {
            continue;
        }
        size_t after = strspn(node->text + i + 1, "0123456789");
        bool lone_zero = text[i - 1] == '0' && (i == 1 || !is_digit(text[i - 2]));
        if (after == 3 && !lone_zero) {
            return NULL;
        }
        text[i] = '.';
    }
    return text;
}

bool model_report_comma(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node)
{
    const char *comma = strchr(node->text, ',');
    struct exact_quantity quantity;
    if (!comma || comma == node->text || !is_digit(comma[-1]) || !is_digit(comma[1])) {
        return false;
    }
    struct finding *finding =
        finding_add(loader->findings, RULE_BAD_NUMBER, node->at,
                    "%s has a comma in its number: %.*s", field->key, text_shown(node), node->text);
    const char *meant = with_points(loader->arena, node);
    if (meant && exact_quantity_read(meant, strlen(meant), field->dimension, &quantity).error ==
                     EXACT_QUANTITY_FINE) {
        finding_remedy(loader->findings, finding, "Write %s.", meant);
        finding_instead(loader->findings, finding, meant);
    } else {
        finding_remedy(loader->findings, finding,
                       "Write a decimal with a point (2.25), and thousands without a comma.");
    }
    return true;
}
