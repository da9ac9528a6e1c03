/*
 * direction.c - which way round, and whether that is proven.
 *
 * A definition states the sense of rotation twice: of the spool in its normal direction, and of the
 * pad at the same time.  The geometry of the path, or an observation, must agree with both.
 */
#include "rules/functions.h"

/* Names what decides the axis of the shaft before a mesh: the last bevel pair, or where its end
 * faces. */
static void note_axis(struct rules_judging *judging, struct finding *finding,
                      const struct model_list *path, size_t index, const char *end,
                      const struct model_code *faces)
{
    for (size_t i = index; i > 0; i--) {
        const struct model_mesh *mesh = MODEL_ITEM(*path, struct model_mesh, i - 1);
        if (mesh->bare.kind == TURNING_BEVEL) {
            finding_note(judging->findings, finding, mesh->at.span, "the bevel pair before it");
            return;
        }
    }
    finding_note(judging->findings, finding, faces->at.span, "the %s faces %s", end,
                 words_direction((enum turning_direction)faces->value));
    finding_remedy(judging->findings, finding,
                   "Correct faces or the backs: each back faces away from the point where the "
                   "shafts cross.");
}

static bool report_off_axis(struct rules_judging *judging, const struct model_list *path,
                            size_t index, const char *end, const struct model_code *faces)
{
    const struct model_mesh *mesh = MODEL_ITEM(*path, struct model_mesh, index);
    bool same = turning_same_axis(mesh->bare.backs[0], mesh->bare.backs[1]);
    struct finding *finding = finding_add(
        judging->findings, RULE_BACKS_OFF_AXIS, mesh->backs.at.span,
        same ? "both backs, %s and %s, are on one axis; the shafts of a bevel pair cross"
             : "the shaft on the pad side is not on the axis of the back %s (the other back is %s)",
        words_direction(mesh->bare.backs[0]), words_direction(mesh->bare.backs[1]));
    finding->about = path;
    if (!same) {
        note_axis(judging, finding, path, index, end, faces);
    }
    return false;
}

bool rules_BACKS_OFF_AXIS(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad_facts *facts = subject->pad_facts;
    const struct model_pad *pad = subject->pad;
    if (facts->proof == MODEL_OFF_AXIS) {
        return report_off_axis(judging, &pad->path, facts->proof_mesh, "pad", &pad->faces);
    }
    if (facts->adapter_proof == MODEL_OFF_AXIS) {
        const bool own = pad->adapter.faces.at.state == MODEL_GIVEN;
        return report_off_axis(judging, &pad->adapter.path, facts->adapter_mesh,
                               own ? "adapter" : "pad", own ? &pad->adapter.faces : &pad->faces);
    }
    return true;
}

static bool disagrees(const struct rules_judging *judging, size_t pad)
{
    const struct model_pad_facts *facts = &judging->derived.facts.pads[pad];
    size_t spool = model_pad(judging->derived.engine, pad)->spool_index;
    int normal =
        spool == SIZE_MAX ? 0 : model_spool_sign(model_spool(judging->derived.engine, spool));
    return facts->proof == MODEL_PROVEN && normal != 0 && facts->rotor_sign != normal;
}

/* Whether every proven pad of a spool, two at least, says that the spool turns the other way. */
static bool spool_is_outvoted(const struct rules_judging *judging, size_t spool)
{
    size_t proven = 0;
    size_t against = 0;
    for (size_t i = 0; i < judging->derived.engine->pads.count; i++) {
        if (model_pad(judging->derived.engine, i)->spool_index == spool &&
            judging->derived.facts.pads[i].proof == MODEL_PROVEN) {
            proven++;
            against += disagrees(judging, i);
        }
    }
    return proven >= 2 && against == proven;
}

/* All pads say that the spool turns the other way: one finding for them all, at the spool. */
static void report_spool(struct rules_judging *judging, const struct rules_subject *subject)
{
    size_t index = subject->pad->spool_index;
    int derived = subject->pad_facts->rotor_sign;
    const struct model_spool *spool = model_spool(judging->derived.engine, index);
    struct finding *finding =
        finding_add(judging->findings, RULE_SENSE_DISAGREES, spool->rotation.at.span,
                    "all pads of spool %s turn it %s aft looking forward; its rotation states %s",
                    spool->id.text, words_sense(derived), words_sense(-derived));
    for (size_t i = 0; i < judging->derived.engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(judging->derived.engine, i);
        if (pad->spool_index == index && disagrees(judging, i)) {
            finding_note(judging->findings, finding, pad->rotation.at.span, "pad %s", pad->id.text);
            rules_cover(judging, RULE_SENSE_DISAGREES, i);
        }
    }
    finding_remedy(judging->findings, finding,
                   "Check from which end the sense of the spool was noted.");
}

/* An observation can decide whether the path is wrong, or one of the two senses. */
static void say_side(struct rules_judging *judging, const struct rules_subject *subject,
                     struct finding *finding)
{
    if (finding->wordless) {
        return;
    }
    struct model_engine *senses = rules_copy(judging);
    struct model_engine *path = rules_copy(judging);
    struct model_pad *pad = rules_copy_part(judging, senses, MODEL_PADS, subject->index);
    pad->path = (struct model_list){.at.state = MODEL_ABSENT};
    pad = rules_copy_part(judging, path, MODEL_PADS, subject->index);
    pad->rotation.sense.value = pad->rotation.sense.value == MODEL_CW ? MODEL_CCW : MODEL_CW;
    const struct rules_decision decision = rules_decide(judging, senses, path);
    rules_note_decision(judging, finding, &decision, "the stated senses", "the path");
    if (decision.side == RULES_FIRST) {
        finding_remedy(judging->findings, finding,
                       "The senses were seen on an engine. Compare the path with the drawing: "
                       "faces, backs, idlers and meshes.");
    } else if (decision.side == RULES_SECOND) {
        finding_remedy(judging->findings, finding,
                       "What was seen on an engine agrees with the path. Correct the sense or the "
                       "view of pad %s or of spool %s.",
                       subject->pad->id.text, subject->pad->spool.text);
    }
}

bool rules_SENSE_DISAGREES(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    if (!disagrees(judging, subject->index)) {
        return true;
    }
    if (spool_is_outvoted(judging, pad->spool_index)) {
        report_spool(judging, subject);
        return false;
    }
    const struct model_spool *spool = model_spool(judging->derived.engine, pad->spool_index);
    struct finding *finding = finding_add(
        judging->findings, RULE_SENSE_DISAGREES, pad->rotation.at.span,
        "pad %s turning %s (facing the pad) turns spool %s %s aft looking forward through this "
        "path; its normal direction is %s",
        pad->id.text, words_sense(model_pad_sign(pad)), spool->id.text,
        words_sense(subject->pad_facts->rotor_sign), words_sense(-subject->pad_facts->rotor_sign));
    finding_note(judging->findings, finding, spool->rotation.at.span,
                 "the spool's normal direction");
    finding_note(judging->findings, finding, pad->path.at.span, "the path");
    finding->about = &pad->path;
    finding_number(judging->findings, finding, "derived",
                   words_sense(subject->pad_facts->rotor_sign));
    finding_number(judging->findings, finding, "stated",
                   words_sense(-subject->pad_facts->rotor_sign));
    say_side(judging, subject, finding);
    return false;
}

/* Whether somebody looked; an observation that could not be read may have been one who did. */
static bool was_seen(const struct rules_judging *judging, size_t pad)
{
    for (size_t i = 0; i < judging->derived.engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(judging->derived.engine, i);
        if ((observation->pad_index == pad || observation->pad_index == SIZE_MAX) &&
            observation->seen.at.state != MODEL_ABSENT) {
            return true;
        }
    }
    return judging->derived.engine->observations.at.state == MODEL_BROKEN;
}

static const char *missing_proof(enum model_proof proof)
{
    switch (proof) {
    case MODEL_VIEW_UNUSABLE:
    case MODEL_NO_FACES: return "the pad has no faces";
    case MODEL_NO_PATH: return "the pad has no path";
    case MODEL_NO_BACKS: return "a bevel pair has no backs";
    case MODEL_ENDS_OFF_AXIS:
        return "the path ends on a shaft that is not on the axis of the rotor";
    case MODEL_PROVEN:
    case MODEL_OFF_AXIS:
    case MODEL_UNREAD: break;
    }
    return NULL;
}

bool rules_SENSE_UNPROVEN(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const char *reason = missing_proof(subject->pad_facts->proof);
    if (subject->pad_facts->proof == MODEL_VIEW_UNUSABLE) {
        struct finding *finding = finding_add(
            judging->findings, RULE_SENSE_UNPROVEN, pad->rotation.at.span,
            "a sense seen along the engine does not define the sense of a pad that %s",
            pad->faces.at.state == MODEL_GIVEN ? "does not face aft or forward" : "has no faces");
        finding_remedy(judging->findings, finding,
                       "Give the sense facing the pad, with view: facing-pad.");
        return false;
    }
    if (reason && !was_seen(judging, subject->index)) {
        struct finding *finding =
            finding_add(judging->findings, RULE_SENSE_UNPROVEN, pad->rotation.at.span,
                        "nothing proves this sense: %s, and no observation has seen it", reason);
        if (subject->pad_facts->proof == MODEL_NO_BACKS) {
            finding_note(
                judging->findings, finding,
                MODEL_ITEM(pad->path, struct model_mesh, subject->pad_facts->proof_mesh)->at.span,
                "this bevel pair");
        }
        return false;
    }
    reason = missing_proof(subject->pad_facts->adapter_proof);
    if (reason) {
        struct finding *finding =
            finding_add(judging->findings, RULE_SENSE_UNPROVEN, pad->adapter.at.key,
                        "nothing proves which way the adapter turns the pad: %s", reason);
        finding_remedy(judging->findings, finding,
                       "Write faces for the pad and for the adapter, and the backs of the bevels "
                       "in the adapter.");
        return false;
    }
    return true;
}

bool rules_ONE_WAY_AGAINST(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    int normal = model_pad_sign(pad);
    if (normal == 0 || pad->drives.at.state != MODEL_GIVEN ||
        pad->drives.value == MODEL_DRIVES_BOTH) {
        return true;
    }
    int drives = pad->drives.value == MODEL_DRIVES_CW ? 1 : -1;
    if (drives == normal) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_ONE_WAY_AGAINST, pad->drives.at.span,
        "the pad drives only %s, but turns %s when the spool turns in its normal direction "
        "(both facing the pad)",
        words_sense(drives), words_sense(normal));
    finding_note(judging->findings, finding, pad->rotation.at.span, "the pad's rotation");
    return false;
}

bool rules_DRIVES_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    if (pad->drives.at.state != MODEL_ABSENT || pad->id.at.state != MODEL_GIVEN) {
        return true;
    }
    finding_add(judging->findings, RULE_DRIVES_MISSING, pad->id.at.span,
                "pad %s does not say in which sense it drives", pad->id.text);
    return false;
}

bool rules_OBSERVATION_SENSE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_seen *seen = &subject->observation->seen;
    const struct model_pad *pad = subject->pad;
    if (!pad || seen->pad.at.state != MODEL_GIVEN || seen->rotor.at.state != MODEL_GIVEN ||
        pad->spool_index == SIZE_MAX) {
        return true;
    }
    const struct model_spool *spool = model_spool(judging->derived.engine, pad->spool_index);
    int stated = model_pad_sign(pad) * model_spool_sign(spool);
    int seen_pad = seen->pad.value == MODEL_CW ? 1 : -1;
    int seen_rotor = seen->rotor.value == MODEL_CW ? 1 : -1;
    if (stated == 0 || seen_pad * seen_rotor == stated) {
        return true;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_OBSERVATION_SENSE, seen->at.span,
        "the pad turned %s and the rotor %s; the definition says that the rotor turns %s",
        words_sense(seen_pad), words_sense(seen_rotor), words_sense(-seen_rotor));
    finding_note(judging->findings, finding, pad->rotation.at.span, "the pad's rotation");
    finding_note(judging->findings, finding, spool->rotation.at.span, "the spool's rotation");
    return false;
}
