/*
 * agree.h - whether two people who read one value wrote the same.
 *
 * Each of them may round, and each may use another unit.  So two quantities agree if one true value
 * can be the cause of both, and differ only if none can.
 */
#ifndef ROTORTAB_MODEL_AGREE_H
#define ROTORTAB_MODEL_AGREE_H

#include "model/engine.h"
#include "model/field.h"
#include "model/value.h"

/*
 * Whether two quantities of one dimension can be the same number, each as somebody read it.  False
 * too where a product does not fit.
 */
bool model_quantities_agree(const struct model_quantity *a, const struct model_quantity *b);

/* Whether two scalars of one row, both GIVEN, are the same value; quantities as above. */
bool model_scalars_agree(const struct model_field *field, const void *first, const void *second);

/*
 * Whether two ratios have another form: all four numbers are GIVEN and both differ, as with 42 to
 * 10 and 4.2 to 1.  Then the ratios are compared, and else each number, which finds more.
 */
bool model_turns_in_two_forms(const struct model_turns *a, const struct model_turns *b);

/* Whether two ratios of GIVEN numbers, each as far as its numbers are rounded, can be one. */
bool model_turns_agree(const struct model_turns *a, const struct model_turns *b);

#endif
