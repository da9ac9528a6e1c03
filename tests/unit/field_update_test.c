/* The second example of rotor-field(3), an update of the table in two places of a flash memory. The
 * text between the two markers is the manual's, letter by letter; field_manual_test.py sees to
 * that. The flash is simulated: the power fails at every byte that is written, or by default at
 * some, and at every page that is erased, and leaves that byte or page half done. */
#include "unit/check.h"

#include "unit/field_fixture.h"

/* EXAMPLE BEGINS */
#include "field/rotor_import.h"

enum { PLACE_SIZE = 16384 }; /* bytes of flash for a table and its mark, at a multiple of 4 */

/* Functions of the firmware: */
void show(const char *text);
bool accept(const char *reason); /* a person reads the reason and decides */
bool is_signature_ours(const struct rotor_table *table);
uint32_t receive(uint8_t *bytes, uint32_t most); /* the next bytes of the transfer, 0 at its end */
const uint8_t *flash(uint32_t place);            /* the first byte of place 0 or 1 */
bool flash_erase(uint32_t place);                /* afterwards all its bytes are 0xff */
bool flash_write(uint32_t place, uint32_t at, const void *bytes, uint32_t length);

/* A place begins with its mark. It is written last: a place without a correct mark has no table. */
struct mark {
    uint32_t update; /* the later of two tables has the higher number */
    uint32_t length; /* of the table, which follows the mark */
    uint32_t check;  /* the other two and MARK_KEY, exclusive-or */
};

#define MARK_KEY 0x6b72616du

/* Opens the table of a place. Without one it is false, and the table is empty. */
static bool open_place(uint32_t place, struct rotor_table *table, struct mark *mark)
{
    const uint8_t *bytes = flash(place);

    *mark = *(const struct mark *)(const void *)bytes;
    bool fits = mark->length <= PLACE_SIZE - sizeof *mark &&
                mark->check == (mark->update ^ mark->length ^ MARK_KEY);
    return rotor_table_open(table, bytes + sizeof *mark, fits ? mark->length : 0) == ROTOR_OK;
}

/* Opens the table in use, which is the later one, and returns its place. */
static uint32_t open_in_use(struct rotor_table *table, struct mark *mark)
{
    struct rotor_table other_table;
    struct mark other;
    bool first = open_place(0, table, mark);

    if (!open_place(1, &other_table, &other) || (first && other.update < mark->update)) {
        return 0;
    }
    *table = other_table;
    *mark = other;
    return 1;
}

/* Receives a table into the place that is not in use, checks it, and lets a person accept it.
 * `profile` is the id of the profile of this device. True: the new table is in use now. */
static bool update_table(const char *profile)
{
    struct rotor_table old_table, new_table;
    struct mark mark;
    uint32_t place = 1 - open_in_use(&old_table, &mark);
    uint32_t update = old_table.length != 0 ? mark.update + 1 : 1;
    struct rotor_import import;
    uint8_t piece[64];
    uint32_t got;

    /* First the mark becomes wrong: an erase that stops half way must not leave a correct one. */
    mark = (struct mark){0, 0, 0};
    if (!flash_write(place, 0, &mark, sizeof mark) || !flash_erase(place)) {
        return false;
    }
    while ((got = receive(piece, sizeof piece)) != 0) {
        if (got > PLACE_SIZE - sizeof mark - mark.length ||
            !flash_write(place, sizeof mark + mark.length, piece, got)) {
            show("the table cannot be stored");
            return false;
        }
        mark.length += got;
    }

    enum rotor_status status =
        rotor_table_open(&new_table, flash(place) + sizeof mark, mark.length);
    if (status != ROTOR_OK) {
        show(rotor_status_text(status));
        return false;
    }
    if (new_table.signature != 0 && !is_signature_ours(&new_table)) {
        show("somebody else signed this table");
        return false;
    }
    enum rotor_import_finding verdict = rotor_import_open(&import, &old_table, &new_table, profile);
    while (rotor_import_next(&import)) {
        if (import.finding == verdict && verdict != ROTOR_IMPORT_SAME) {
            show(import.id); /* the engines that decided */
        }
    }
    if (verdict == ROTOR_IMPORT_OTHER_DEVICE) {
        show(rotor_import_text(verdict));
        return false;
    }
    if (!accept(rotor_import_text(verdict))) {
        return false;
    }
    mark.update = update;
    mark.check = mark.update ^ mark.length ^ MARK_KEY;
    return flash_write(place, 0, &mark, sizeof mark); /* from here on the new table is in use */
}

/* Goes back to the old table, if its place still has one. */
static bool go_back(void)
{
    static const struct mark none = {0, 0, 0};
    struct rotor_table table;
    struct mark mark;
    uint32_t place = open_in_use(&table, &mark);

    return open_place(1 - place, &table, &mark) && flash_write(place, 0, &none, sizeof none);
}
/* EXAMPLE ENDS */

enum { PAGE = 1024 };

/* The simulated flash: each operation is a byte that is written, or a page that is erased. */
static union {
    uint8_t bytes[PLACE_SIZE];
    uint32_t aligned;
} places[2];
static long operations, cut_at; /* the operation at which the power fails; below 0: never */
static uint32_t chance_state;
static const struct fixture *sent;
static uint32_t sent_bytes;
static bool endless; /* the transfer does not end */
static bool weak;    /* an erase that fails has changed two bits only */
static char shown[1024];
static bool accepted, signature_ours;

static uint8_t chance(void)
{
    chance_state = chance_state * 1664525 + 1013904223;
    return (uint8_t)(chance_state >> 24);
}

/* Whether the power is off already. It fails within an operation, not between two. */
static bool is_off(void)
{
    return cut_at >= 0 && operations > cut_at;
}

void show(const char *text)
{
    strncat(shown, text, sizeof shown - strlen(shown) - 2);
    strcat(shown, ";");
}

bool accept(const char *reason)
{
    show(reason);
    return accepted;
}

bool is_signature_ours(const struct rotor_table *table)
{
    ck_assert_uint_ne(table->signature, 0);
    return signature_ours;
}

uint32_t receive(uint8_t *bytes, uint32_t most)
{
    uint32_t left = sent->length - sent_bytes;
    uint32_t count = left < most ? left : most;
    if (endless) {
        memset(bytes, 0x5a, most);
        return most;
    }
    memcpy(bytes, sent->bytes + sent_bytes, count);
    sent_bytes += count;
    return count;
}

const uint8_t *flash(uint32_t place)
{
    return places[place].bytes;
}

bool flash_erase(uint32_t place)
{
    for (uint32_t page = 0; page < PLACE_SIZE; page += PAGE) {
        bool fails = operations++ == cut_at;
        for (uint32_t i = 0; i < PAGE && fails; i++) {
            places[place].bytes[page + i] |= weak ? (i == 3 || i == 11 ? 0x80 : 0) : chance();
        }
        if (is_off()) {
            return false;
        }
        memset(places[place].bytes + page, 0xff, PAGE);
    }
    return true;
}

/* Writing can only clear bits. */
bool flash_write(uint32_t place, uint32_t at, const void *bytes, uint32_t length)
{
    ck_assert_uint_le(at, PLACE_SIZE);
    ck_assert_uint_le(length, PLACE_SIZE - at);
    for (uint32_t i = 0; i < length; i++) {
        uint8_t value = ((const uint8_t *)bytes)[i];
        if (operations++ == cut_at) {
            value |= chance();
        } else if (is_off()) {
            return false;
        }
        places[place].bytes[at + i] &= value;
    }
    return !is_off();
}

/* ---- tables, and what the device does with them ------------------------------------------------
 */

static struct fixture tables[3]; /* three releases: each has the next revision */

static void build_tables(const struct fixture_shape *shape)
{
    for (uint32_t i = 0; i < 3; i++) {
        fixture_build(&tables[i], shape);
        fixture_put(&tables[i], ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_REVISION, 4, 4 + i);
        fixture_seal(&tables[i]);
    }
}

static void set_up(void)
{
    build_tables(&(struct fixture_shape){.known_blades = true});
    for (uint32_t i = 0; i < 2; i++) {
        memset(places[i].bytes, 0xff, PLACE_SIZE);
    }
    cut_at = -1;
    endless = weak = false;
    chance_state = 14;
    accepted = signature_ours = true;
}

/* An update with one of the tables; the power fails at the operation `at`, or never if it is below
 * 0. */
static bool update(const struct fixture *table, long at)
{
    sent = table;
    sent_bytes = 0;
    operations = 0;
    cut_at = at;
    shown[0] = '\0';
    bool done = update_table("bench-9");
    cut_at = -1;
    return done;
}

/* Which of the tables the device finds at its start, byte for byte; -1 if it finds none. */
static int found(void)
{
    struct rotor_table table;
    struct mark mark;
    open_in_use(&table, &mark);
    for (int i = 0; i < 3; i++) {
        if (table.length == tables[i].length &&
            memcmp(table.bytes, tables[i].bytes, table.length) == 0) {
            return i;
        }
    }
    ck_assert_uint_eq(table.length, 0);
    return -1;
}

START_TEST(updates_take_turns)
{
    ck_assert_int_eq(found(), -1);
    for (int i = 0; i < 3; i++) {
        ck_assert(update(&tables[i], -1));
        ck_assert_int_eq(found(), i);
        ck_assert_uint_eq(*(const uint32_t *)(const void *)flash(1 - ((uint32_t)i & 1)),
                          (uint32_t)i + 1);
    }
    ck_assert_str_eq(shown, "harrow-20;the new table has later revisions;");
    ck_assert(go_back());
    ck_assert_int_eq(found(), 1);
    ck_assert(!go_back());
    ck_assert_int_eq(found(), 1);
}
END_TEST

START_TEST(what_is_refused_changes_nothing)
{
    const struct fixture_shape signed_shape = {.signature = true};
    ck_assert(update(&tables[0], -1));

    tables[1].bytes[200] ^= 1;
    ck_assert(!update(&tables[1], -1));
    ck_assert_str_eq(shown, "the header or the directory is damaged;");

    accepted = false;
    ck_assert(!update(&tables[2], -1));
    ck_assert_str_eq(shown, "harrow-20;the new table has later revisions;");

    accepted = true;
    ck_assert_int_eq(found(), 0);

    static struct fixture signed_table;
    fixture_build(&signed_table, &signed_shape);
    signature_ours = false;
    ck_assert(!update(&signed_table, -1));
    ck_assert_str_eq(shown, "somebody else signed this table;");
    ck_assert_int_eq(found(), 0);
    signature_ours = true;
    ck_assert(update(&signed_table, -1));
}
END_TEST

START_TEST(another_device_is_not_asked_for)
{
    sent = &tables[0];
    sent_bytes = 0;
    shown[0] = '\0';
    ck_assert(!update_table("bench-10"));
    ck_assert_str_eq(shown, "the new table is for another device: do not use it;");
}
END_TEST

START_TEST(a_transfer_that_does_not_end_is_not_stored)
{
    ck_assert(update(&tables[0], -1));
    endless = true;
    ck_assert(!update(&tables[1], -1));
    ck_assert_str_eq(shown, "the table cannot be stored;");
    ck_assert_int_eq(found(), 0);
}
END_TEST

/* An erase stops so early that it only raises the number of the update, and its check alike. */
START_TEST(an_erase_that_fails_does_not_bring_a_table_back)
{
    for (long at = 0; at <= (long)sizeof(struct mark); at++) {
        set_up();
        ck_assert(update(&tables[0], -1));
        ck_assert(update(&tables[1], -1));
        weak = true;
        update(&tables[2], at);
        ck_assert_int_eq(found(), 1);
    }
}
END_TEST

/* The sanitizers see a read beyond the place. */
START_TEST(a_mark_with_a_length_that_does_not_fit)
{
    struct mark mark = {7, PLACE_SIZE - sizeof mark + 1, 0};
    ck_assert(update(&tables[0], -1));
    mark.check = mark.update ^ mark.length ^ MARK_KEY;
    memcpy(places[1].bytes, &mark, sizeof mark);
    memcpy(places[1].bytes + sizeof mark, tables[0].bytes, tables[0].length);
    fixture_store(places[1].bytes + sizeof mark + ROTOR_HEADER_LENGTH, 4, mark.length);
    ck_assert_int_eq(found(), -1);
}
END_TEST

/* The operation after `at`, of so many, at which the power fails next. In a mark and in an erase it
 * fails at each; in the table at each in the whole run, else at some. */
static long after(long at, long all)
{
    const long begin = (long)sizeof(struct mark) + PLACE_SIZE / PAGE;
    const long end = all - (long)sizeof(struct mark);
    if (at < begin || at >= end) {
        return at + 1;
    }
    long next = at + share_step(end - begin, 50);
    return next < end ? next : end;
}

/* The power fails once in an update from one release to the next, and then perhaps once more in the
 * update after it. The device always finds a whole table: the old one, or from the last bytes of
 * the mark on the new one. */
static long cut_everywhere(int old, int next, bool twice)
{
    static uint8_t before[2][PLACE_SIZE];
    long cuts = 0;
    long all;
    for (int i = 0; i < 2; i++) {
        memcpy(before[i], places[i].bytes, PLACE_SIZE);
    }
    ck_assert(update(&tables[next], -1));
    all = operations;
    for (long at = 0; at < all; at = after(at, all)) {
        for (int i = 0; i < 2; i++) {
            memcpy(places[i].bytes, before[i], PLACE_SIZE);
        }
        update(&tables[next], at);
        int is = found();
        cuts++;
        ck_assert_msg(is == old || (is == next && at >= all - (long)sizeof(struct mark)),
                      "after a cut at operation %ld of %ld the device finds table %d", at, all, is);
        if (twice) {
            long second = (long)(chance() << 8 | chance()) % all;
            update(&tables[next], second);
            is = found();
            cuts++;
            ck_assert_msg(is == old || is == next, "after cuts at %ld and %ld: table %d", at,
                          second, is);
        }
        ck_assert(update(&tables[next], -1));
        ck_assert_int_eq(found(), next);
    }
    return cuts;
}

START_TEST(the_power_may_fail_at_any_time)
{
    long cuts = 0;
    /* At first the other place is empty. */
    ck_assert(update(&tables[0], -1));
    cuts += cut_everywhere(0, 1, false);
    /* The other place has an older table, in both directions. */
    cuts += cut_everywhere(1, 2, true);
    cuts += cut_everywhere(2, 0, true);
    ck_assert_int_ge(cuts, 5 * share_number((long)tables[0].length, 50));
}
END_TEST

START_TEST(the_power_may_fail_in_the_first_update)
{
    long all;
    ck_assert(update(&tables[0], -1));
    all = operations;
    for (long at = 0; at < all; at = after(at, all)) {
        set_up();
        update(&tables[0], at);
        int is = found();
        ck_assert(is == -1 || (is == 0 && at >= all - (long)sizeof(struct mark)));
        ck_assert(update(&tables[0], -1));
        ck_assert_int_eq(found(), 0);
    }
}
END_TEST

START_TEST(the_power_may_fail_on_the_way_back)
{
    for (long at = 0; at < (long)sizeof(struct mark); at++) {
        set_up();
        ck_assert(update(&tables[0], -1));
        ck_assert(update(&tables[1], -1));
        chance_state = (uint32_t)at;
        operations = 0;
        cut_at = at;
        go_back();
        cut_at = -1;
        ck_assert(found() == 0 || found() == 1);
        ck_assert(update(&tables[2], -1));
        ck_assert_int_eq(found(), 2);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: the manual's update");
    TCase *tcase = tcase_create("update");
    tcase_add_checked_fixture(tcase, set_up, NULL);
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, updates_take_turns);
    tcase_add_test(tcase, what_is_refused_changes_nothing);
    tcase_add_test(tcase, another_device_is_not_asked_for);
    tcase_add_test(tcase, a_transfer_that_does_not_end_is_not_stored);
    tcase_add_test(tcase, an_erase_that_fails_does_not_bring_a_table_back);
    tcase_add_test(tcase, a_mark_with_a_length_that_does_not_fit);
    tcase_add_test(tcase, the_power_may_fail_at_any_time);
    tcase_add_test(tcase, the_power_may_fail_in_the_first_update);
    tcase_add_test(tcase, the_power_may_fail_on_the_way_back);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
