/*
 * gears.c - tooth counts that are possible: a wrong digit is found before it changes every step.
 */
#include "rules/functions.h"
#include "turning/planets.h"

#include <inttypes.h>

bool rules_EPICYCLIC_MEMBERS(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_mesh *mesh = subject->mesh;
    const struct model_code *const members[] = {&mesh->in, &mesh->out, &mesh->held};
    static const char *const names[] = {"in", "out", "held"};
    if (mesh->bare.kind != TURNING_EPICYCLIC) {
        return true;
    }
    for (size_t i = 0; i < 3; i++) {
        for (size_t j = 0; j < i; j++) {
            if (members[i]->at.state != MODEL_GIVEN || members[j]->at.state != MODEL_GIVEN ||
                members[i]->value != members[j]->value) {
                continue;
            }
            struct finding *finding =
                finding_add(judging->findings, RULE_EPICYCLIC_MEMBERS, members[i]->at.span,
                            "%s and %s are both the %s", names[j], names[i],
                            words_member((enum turning_member)members[i]->value));
            finding_note(judging->findings, finding, members[j]->at.span,
                         "here \"%s\" has the same member", names[j]);
            return false;
        }
    }
    return true;
}

/*
 * The three conditions for the assembly of an epicyclic set: SDP/SI, Elements of Metric Gear
 * Technology, p. T-116, eqs 13-5, 13-7 and 13-9.
 */
static bool has_teeth(const struct model_mesh *mesh)
{
    return mesh->bare.kind == TURNING_EPICYCLIC && mesh->sun.at.state == MODEL_GIVEN &&
           mesh->ring.at.state == MODEL_GIVEN && mesh->planet.at.state == MODEL_GIVEN &&
           mesh->planets.at.state == MODEL_GIVEN;
}

bool rules_RING_SUM(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_mesh *mesh = subject->mesh;
    if (!has_teeth(mesh)) {
        return true;
    }
    int64_t sum = mesh->sun.value + 2 * mesh->planet.value;
    if (mesh->ring.value == sum) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_RING_SUM, mesh->ring.at.span,
                    "the ring has %" PRId64 " teeth; sun %" PRId64 " plus twice planet %" PRId64
                    " makes %" PRId64,
                    mesh->ring.value, mesh->sun.value, mesh->planet.value, sum);
    finding_note(judging->findings, finding, mesh->planet.at.span, "the planet");
    rules_whole_number(judging, finding, "ring", mesh->ring.value);
    rules_whole_number(judging, finding, "sun_plus_two_planets", sum);
    return false;
}

bool rules_PLANETS_COLLIDE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_mesh *mesh = subject->mesh;
    if (!has_teeth(mesh) ||
        !turning_planets_touch(mesh->sun.value, mesh->planet.value, mesh->planets.value)) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_PLANETS_COLLIDE, mesh->planets.at.span,
                    "%" PRId64 " planets of %" PRId64 " teeth do not fit around a sun of %" PRId64,
                    mesh->planets.value, mesh->planet.value, mesh->sun.value);
    finding_note(judging->findings, finding, mesh->planet.at.span, "the planet");
    rules_whole_number(judging, finding, "planets", mesh->planets.value);
    rules_whole_number(judging, finding, "sun_plus_planet", mesh->sun.value + mesh->planet.value);
    return false;
}

bool rules_PLANETS_SPACING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_mesh *mesh = subject->mesh;
    if (!has_teeth(mesh)) {
        return true;
    }
    int64_t sum = mesh->sun.value + mesh->ring.value;
    if (sum % mesh->planets.value == 0) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_PLANETS_SPACING, mesh->planets.at.span,
        "sun plus ring is %" PRId64 ", which is not a multiple of the number of planets, %" PRId64,
        sum, mesh->planets.value);
    rules_whole_number(judging, finding, "sun_plus_ring", sum);
    rules_whole_number(judging, finding, "planets", mesh->planets.value);
    return false;
}

bool rules_INTERNAL_CLEARANCE(struct rules_judging *judging, const struct rules_subject *subject)
{
    enum { LEAST = 8 }; /* common practice, no source */
    const struct model_mesh *mesh = subject->mesh;
    if (mesh->bare.kind != TURNING_INTERNAL || !mesh->whole) {
        return true;
    }
    int64_t apart = mesh->teeth[0].value - mesh->teeth[1].value;
    apart = apart < 0 ? -apart : apart;
    if (apart > LEAST) {
        return true;
    }
    struct finding *finding = finding_add(judging->findings, RULE_INTERNAL_CLEARANCE, mesh->at.span,
                                          "ring and gear differ by %" PRId64 " %s", apart,
                                          apart == 1 ? "tooth" : "teeth");
    rules_whole_number(judging, finding, "difference", apart);
    return false;
}

/* Reports each of a mesh's gears that lies beyond the limit; `many` tells on which side. */
static bool judge_teeth(struct rules_judging *judging, const struct model_mesh *mesh, bool many)
{
    const struct model_range *limits = &judging->policy->limits.teeth;
    const struct model_quantity *limit = many ? &limits->max : &limits->min;
    const struct model_integer *gears[MODEL_MESH_TEETH + 3];
    size_t count = 0;
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        gears[count++] = &mesh->teeth[i];
    }
    if (mesh->bare.kind == TURNING_EPICYCLIC) {
        gears[count++] = &mesh->sun;
        gears[count++] = &mesh->planet;
        gears[count++] = &mesh->ring;
    }
    bool passed = true;
    for (size_t i = 0; i < count; i++) {
        if (gears[i]->at.state != MODEL_GIVEN) {
            continue;
        }
        int compared = exact_compare(exact_whole(gears[i]->value), limit->written.stated);
        if (many ? compared <= 0 : compared >= 0) {
            continue;
        }
        struct finding *finding =
            finding_add(judging->findings, many ? RULE_TEETH_MANY : RULE_TEETH_FEW,
                        gears[i]->at.span, "a gear of %" PRId64 " %s; %s are usual",
                        gears[i]->value, gears[i]->value == 1 ? "tooth" : "teeth",
                        arena_printf(judging->arena, "%s %s", many ? "at most" : "at least",
                                     words_quantity(judging->arena, limit)));
        rules_whole_number(judging, finding, "teeth", gears[i]->value);
        rules_number(judging, finding, "limit", limit->written.stated);
        passed = false;
    }
    return passed;
}

bool rules_TEETH_FEW(struct rules_judging *judging, const struct rules_subject *subject)
{
    return judge_teeth(judging, subject->mesh, false);
}

bool rules_TEETH_MANY(struct rules_judging *judging, const struct rules_subject *subject)
{
    return judge_teeth(judging, subject->mesh, true);
}
