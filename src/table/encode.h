/*
 * encode.h - private to the builder: the records of one thing each.
 *
 * References to texts and ranges are numbers of items in the builder's pools. A function that can
 * fail returns false and sets builder->problem.
 */
#ifndef ROTORTAB_TABLE_ENCODE_H
#define ROTORTAB_TABLE_ENCODE_H

#include "table/builder.h"

/* Sets the problem; returns false. */
bool table_refuse(struct table_builder *builder, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The item of a text; an absent one is the empty text. */
uint32_t table_text(struct table_builder *builder, const struct model_text *text);

/* The item of a path's meshes; their number goes to `count`, in 16 bits. */
uint32_t table_keep_path(struct table_builder *builder, const struct model_list *path,
                         uint8_t *count);

void table_encode_device(struct table_builder *builder, const uint8_t digest[32]);
void table_encode_spool(struct table_builder *builder, const struct model_spool *spool,
                        uint8_t *out);
/* `spool` is the spool's index within the draft. */
bool table_encode_stage(struct table_builder *builder, const struct model_stage *stage,
                        uint32_t spool, uint8_t *out);
/*
 * The records of the stage's known blades, rising by their numbers.  `stage_index` is the stage's
 * index within the draft.
 */
void table_encode_known_blades(struct table_builder *builder, const struct model_stage *stage,
                               uint32_t stage_index, uint8_t *out);
bool table_encode_pad(struct table_builder *builder, const struct model_pad *pad,
                      const struct model_pad_facts *facts, const struct model_pad_on_device *on,
                      uint32_t spool, uint8_t *out);
/* `stage_index` is the stage's index within the draft. */
bool table_encode_link(struct table_builder *builder, const struct model_engine *engine,
                       const struct model_pad_on_device *on, const struct model_pair *pair,
                       uint32_t stage_index, uint8_t *out);

#endif
