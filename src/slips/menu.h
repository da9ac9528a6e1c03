/*
 * menu.h - the observations that a plan can ask for, as blocks ready to paste.
 *
 * Each is what a person would write after measuring the engine of the definition.  Easier ones come
 * first: a look, a count at the port, turns counted by eye, turns read with a protractor.
 */
#ifndef ROTORTAB_SLIPS_MENU_H
#define ROTORTAB_SLIPS_MENU_H

#include "model/on_device.h"
#include "model/values.h"

enum slips_offer_kind {
    SLIPS_OFFER_SENSE,  /* which way pad and rotor turn together */
    SLIPS_OFFER_BLADES, /* blades that pass the port in a rotor turn */
    SLIPS_OFFER_TURNS   /* pad turns in so many rotor turns */
};

struct slips_offer {
    enum slips_offer_kind kind;
    size_t pad;    /* SIZE_MAX: a hand turns the spool */
    size_t spool;  /* the one that turns */
    size_t stage;  /* of BLADES */
    int64_t turns; /* of the rotor, of TURNS */
    int64_t finest,
        widest; /* tolerances in steps of SLIPS_TOLERANCE_STEPS to a pad turn; 0: none */
};

/* The last digit of a tolerance: thousandths of a pad turn. */
enum { SLIPS_TOLERANCE_STEPS = 1000 };

struct slips_menu {
    struct slips_offer *offers;
    size_t count;
};

/* All offers for an engine; in the arena. */
struct slips_menu slips_menu_of(const struct model_engine *engine, struct arena *arena);

/*
 * The observation as a map in flow style, with a tolerance in steps where the offer has one; NULL:
 * it does not fit 64 bits.  In the arena.
 */
const char *slips_offer_block(const struct slips_offer *offer, int64_t tolerance,
                              const struct model_engine *engine,
                              const struct model_engine_facts *facts, struct arena *arena);

/* Whether a slip in the value can contradict the observation: it measures nothing else. */
bool slips_offer_concerns(const struct slips_offer *offer, const struct model_value *value);

#endif
