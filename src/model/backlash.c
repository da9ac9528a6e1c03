/*
 * backlash.c - the free play of a pad and its adapter, and whether all of it is known.
 */
#include "model/derived.h"

bool model_adapter_backlash_missing(const struct model_pad *pad)
{
    const struct model_adapter *adapter = &pad->adapter;
    return adapter->at.state == MODEL_GIVEN && adapter->backlash.at.state == MODEL_ABSENT &&
           (adapter->path.at.state != MODEL_ABSENT || adapter->square.at.state != MODEL_ABSENT);
}

bool model_rotor_backlash(const struct model_pad *pad, const struct model_pad_facts *facts,
                          struct exact_rational *out, bool *overflow)
{
    const struct model_adapter *adapter = &pad->adapter;
    struct exact_interval backlash;
    struct exact_interval adapter_backlash = exact_point(exact_whole(0));
    struct exact_rational at_pad;
    if (pad->backlash.at.state != MODEL_GIVEN || !facts->ratio_known || !facts->adapter_known ||
        adapter->backlash.at.state == MODEL_BROKEN) {
        return false;
    }
    *overflow = true;
    if (!model_quantity_in(&pad->backlash, EXACT_DEG, &backlash)) {
        return false;
    }
    if (adapter->backlash.at.state == MODEL_GIVEN &&
        !model_quantity_in(&adapter->backlash, EXACT_DEG, &adapter_backlash)) {
        return false;
    }
    if (!exact_div(adapter_backlash.hi, facts->adapter_ratio, &at_pad) ||
        !exact_add(at_pad, backlash.hi, &at_pad) || !exact_div(at_pad, facts->ratio.lo, out)) {
        return false;
    }
    *overflow = false;
    return true;
}
