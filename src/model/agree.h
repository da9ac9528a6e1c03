/*
 * agree.h - whether two people who read one value wrote the same.
 *
 * Each of them may round, and each may use another unit.  So two quantities agree if one true value
 * can be the cause of both, and differ only if none can.
 */
#ifndef ROTORTAB_MODEL_AGREE_H
#define ROTORTAB_MODEL_AGREE_H

#include "model/field.h"
#include "model/value.h"

/*
 * Whether two quantities of one dimension can be the same number, each as somebody read it.  False
 * too where a product does not fit.
 */
bool model_quantities_agree(const struct model_quantity *a, const struct model_quantity *b);

/* Whether two scalars of one row, both GIVEN, are the same value; quantities as above. */
bool model_scalars_agree(const struct model_field *field, const void *first, const void *second);

#endif
