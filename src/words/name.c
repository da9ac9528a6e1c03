#include "words/name.h"

#include "words/number.h"

#include <inttypes.h>

const char words_not_known[] = "not known";

const char *words_sense(int sign)
{
    return sign == 0 ? words_not_known
                     : model_word_for(model_sense_words, sign > 0 ? MODEL_CW : MODEL_CCW);
}

const char *words_view(enum model_view view)
{
    static const char *const views[] = {[MODEL_AFT_LOOKING_FORWARD] = "aft looking forward",
                                        [MODEL_FORWARD_LOOKING_AFT] = "forward looking aft",
                                        [MODEL_FACING_PAD] = "facing the pad"};
    return views[view];
}

const char *words_direction(enum turning_direction direction)
{
    return direction == TURNING_NOWHERE ? words_not_known
                                        : model_word_for(model_direction_words, (int)direction);
}

const char *words_drives(enum model_drives drives)
{
    return model_word_for(model_drives_words, (int)drives);
}

const char *words_status(enum model_status status)
{
    return model_word_for(model_status_words, (int)status);
}

const char *words_role(enum model_role role)
{
    return model_word_for(model_role_words, (int)role);
}

const char *words_stepping(enum model_stepping stepping)
{
    return model_word_for(model_stepping_words, (int)stepping);
}

const char *words_member(enum turning_member member)
{
    return model_word_for(model_member_words, (int)member);
}

const char *words_numbering(enum model_numbering numbering)
{
    return numbering == MODEL_WITH_ROTATION ? "with the rotation" : "against the rotation";
}

const char *words_square(int row)
{
    return model_squares[row].inch;
}

const char *words_square_both(struct arena *arena, int row)
{
    return arena_printf(arena, "%s (%s)", model_squares[row].inch, model_squares[row].millimetre);
}

const char *words_clock(struct arena *arena, int minutes)
{
    return arena_printf(arena, "%d:%02d", minutes < 60 ? 12 : minutes / 60, minutes % 60);
}

const char *words_date(struct arena *arena, int yyyymmdd)
{
    return arena_printf(arena, "%04d-%02d-%02d", yyyymmdd / 10000, yyyymmdd / 100 % 100,
                        yyyymmdd % 100);
}

/* ---- meshes -----------------------------------------------------------------------------------
 */

static const char *epicyclic(struct arena *arena, const struct words_mesh *mesh)
{
    const char *text = arena_printf(arena, "%s sun %" PRId64 ", ring %" PRId64,
                                    model_mesh_key(TURNING_EPICYCLIC), mesh->sun, mesh->ring);
    if (mesh->planet != 0) {
        text = arena_printf(arena, "%s, planet %" PRId64, text, mesh->planet);
    }
    if (mesh->planets != 0) {
        text = arena_printf(arena, "%s, %" PRId64 " planet%s", text, mesh->planets,
                            words_plural(mesh->planets));
    }
    text = arena_printf(arena, "%s, %s to %s", text, mesh->in, mesh->out);
    return mesh->held ? arena_printf(arena, "%s, %s held", text, mesh->held) : text;
}

const char *words_mesh(struct arena *arena, const struct words_mesh *mesh)
{
    if (mesh->kind == TURNING_EPICYCLIC) {
        return epicyclic(arena, mesh);
    }
    const char *text = model_mesh_key(mesh->kind);
    for (size_t i = 0; i < mesh->count; i++) {
        text = arena_printf(arena, "%s%c%" PRId64, text, i == 0 ? ' ' : '-', mesh->teeth[i]);
    }
    if (mesh->backs[0] != TURNING_NOWHERE || mesh->backs[1] != TURNING_NOWHERE) {
        text = arena_printf(arena, "%s (backs %s, %s)", text, words_direction(mesh->backs[0]),
                            words_direction(mesh->backs[1]));
    }
    return text;
}

const char *words_model_mesh(struct arena *arena, const struct model_mesh *mesh)
{
    const struct turning_mesh *bare = &mesh->bare;
    struct words_mesh words = {.kind = bare->kind,
                               .count = mesh->teeth_count,
                               .backs = {TURNING_NOWHERE, TURNING_NOWHERE}};
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        words.teeth[i] = mesh->teeth[i].value;
    }
    if (bare->kind == TURNING_EPICYCLIC) {
        words.sun = bare->sun_teeth;
        words.ring = bare->ring_teeth;
        words.planet = mesh->planet.at.state == MODEL_GIVEN ? mesh->planet.value : 0;
        words.planets = mesh->planets.at.state == MODEL_GIVEN ? mesh->planets.value : 0;
        words.in = words_member(bare->in);
        words.out = words_member(bare->out);
        words.held = words_member(bare->held);
    }
    return words_mesh(arena, &words);
}

const char *words_document(struct arena *arena, const struct model_document *document)
{
    return arena_printf(arena, "%s, revision %s of %s", document->document.text,
                        document->revision.text, words_date(arena, document->date.value));
}

const char *words_hex(struct arena *arena, const unsigned char *bytes, size_t count)
{
    static const char digits[] = "0123456789abcdef";
    char *text = arena_alloc(arena, 2 * count + 1);
    for (size_t i = 0; i < count; i++) {
        text[2 * i] = digits[bytes[i] >> 4];
        text[2 * i + 1] = digits[bytes[i] & 15];
    }
    return text;
}
