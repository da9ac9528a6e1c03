/*
 * load_parts.h - the loader's parts, for each other only.
 */
#ifndef ROTORTAB_MODEL_LOAD_PARTS_H
#define ROTORTAB_MODEL_LOAD_PARTS_H

#include "model/load.h"

/*
 * Each reads `node` into the value of its type at `out`, whose place is set already.  Returns false
 * where it could not, and has said why; the caller then marks the value BROKEN.
 */
bool model_read_text(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out);
bool model_read_word(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out);
bool model_read_number(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, void *out);
bool model_read_path(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out);
bool model_read_severities(struct model_loader *loader, const struct model_field *field,
                           const struct text_node *node, void *out);

/*
 * The field with this key, or NULL.  Most files have the order of the form, so the search begins
 * after `last`, the field found before; NULL: at the first.
 */
const struct model_field *model_find_key(const struct model_record *record,
                                         const struct model_field *last,
                                         const struct text_node *key);

/* The keys of a record that a map has: bit N for field N.  No record has more than 64 fields. */
uint64_t model_keys_there(const struct model_record *record, const struct text_node *map);

/*
 * Reports a key that no field has; returns the field that was probably meant, or NULL.  A key that
 * is `there` is not meant.  `text_cut`: it is the end of the text before it.
 */
const struct model_field *model_report_unknown_key(struct model_loader *loader,
                                                   const struct model_record *record,
                                                   uint64_t there, const struct text_node *key,
                                                   bool text_cut);

/*
 * Reports what is wrong between keys, once all keys of the map are read into `out`: one is missing,
 * needs another one, or excludes it.  A value that cannot be used for it becomes BROKEN.
 */
void model_check_keys(struct model_loader *loader, const struct model_record *record,
                      const struct text_node *map, void *out);

/* Where the value of a field is in its record. */
struct model_at *model_at_of(const struct model_field *field, void *out);

/* A place for what is not there: the first key of the map it belongs into. */
struct span model_gap_in(const struct text_node *map);

/* Any value, by the type of its field. */
bool model_read_value(struct model_loader *loader, const struct model_field *field,
                      const struct text_node *node, void *out);

/* The place of a node: its own span and its key's. */
struct model_at model_at_node(const struct text_node *node);

/*
 * True where the node is a scalar with something in it; otherwise reports a blank (missing-key) or
 * a wrong shape: `wanted` says what the key takes.
 */
bool model_want_scalar(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, const char *wanted);

/* Reports (missing-key) that a value is blank where `wanted` must be. */
void model_report_blank(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node, const char *wanted);

/* True where the node is a list of field->least to field->most items; otherwise reports it. */
bool model_want_list(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node);

/*
 * The scalar together with the entries after it that belong to its number: 3,05 between braces.
 * `next` of the result is the entry that follows.  The scalar itself where nothing belongs to it.
 */
const struct text_node *model_join_number(struct arena *arena, const struct text_node *node);

/*
 * The last of the entries, from `entry` on, that are the rest of the text before them: the text has
 * a comma and no quotes.  NULL where `entry` is not.
 */
const struct text_node *model_rest_of_text(const struct model_field *field,
                                           const struct text_node *text,
                                           const struct text_node *entry);

/* Reports a number with a comma in it; false where there is none. */
bool model_report_comma(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node);

/* "cw or ccw": the words, without aliases. */
const char *model_word_list(struct arena *arena, const struct model_word_row *words);

/* Reports ranges that lie the wrong way round, in what has been loaded. */
void model_device_check_order(const struct model_device *device, struct findings *findings);
void model_policy_check_order(struct model_policy *policy, struct findings *findings);

#endif
