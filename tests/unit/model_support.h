/*
 * model_support.h - a definition, changed in some places and derived, for the tests of model/.
 *
 * The sound texts have round numbers: K = 2000 x 80 x 2 = 320000 counts a rotor turn.
 */
#ifndef ROTORTAB_TESTS_MODEL_SUPPORT_H
#define ROTORTAB_TESTS_MODEL_SUPPORT_H

#include "unit/support.h"

/* Parts of the sound definition: its path; and where an adapter goes. */
#define PATH "[external: [20, 40]]"
#define ADAPTER(what) "    backlash: 1.2 deg\n    adapter: {torque-limit: 60 lbf.ft, " what "}\n"

/* One definition, changed and derived. */
struct derived {
    struct support s;
    const char *text;
    const char *device;
    const char *policy;
    struct model_engine_facts facts;
    struct model_on_device on;
};

static inline void start(struct derived *d)
{
    memset(d, 0, sizeof *d);
    support_start(&d->s);
    d->text = sound_engine;
    d->device = sound_device;
    d->policy = "policy: 1\n";
}

static inline void change(struct derived *d, const char *from, const char *to)
{
    d->text = changed(&d->s.arena, d->text, from, to);
}

static inline void change_device(struct derived *d, const char *from, const char *to)
{
    d->device = changed(&d->s.arena, d->device, from, to);
}

/* The first pad's facts. */
static inline const struct model_pad_facts *derive(struct derived *d)
{
    support_load(&d->s, d->text);
    d->facts = model_derive(d->s.engine.engine, &d->s.arena);
    return &d->facts.pads[0];
}

static inline const struct model_pad_on_device *derive_on(struct derived *d)
{
    (void)derive(d);
    (void)assert_only(&d->s, RULE_NONE);
    support_device(&d->s, d->device);
    support_policy(&d->s, d->policy);
    model_policy_complete(d->s.policy.policy);
    d->on =
        model_derive_on(d->s.engine.engine, &d->facts, &d->s.on, d->s.policy.policy, &d->s.arena);
    return &d->on.pads[0];
}

static inline void end(struct derived *d)
{
    support_end(&d->s);
}

#endif
