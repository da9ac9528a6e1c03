/*
 * base_arena_test.c - memory that is freed whole.
 */
#include "base/arena.h"
#include "unit/support.h"

#include <stdalign.h>
#include <stdint.h>
#include <sys/wait.h>

static bool is_zero(const void *bytes, size_t size)
{
    const unsigned char *byte = bytes;
    for (size_t i = 0; i < size; i++) {
        if (byte[i] != 0) {
            return false;
        }
    }
    return true;
}

/* Pieces of every size are zero, aligned, and keep what was written into them. */
START_TEST(pieces_stay_apart)
{
    enum { PIECES = 400 };
    struct arena arena = {.newest = NULL};
    unsigned char *pieces[PIECES];
    size_t sizes[PIECES];
    for (size_t i = 0; i < PIECES; i++) {
        sizes[i] = i % 50 == 49 ? 40000 + i : i;
        pieces[i] = arena_alloc(&arena, sizes[i]);
        ck_assert_ptr_nonnull(pieces[i]);
        ck_assert_uint_eq((uintptr_t)pieces[i] % alignof(max_align_t), 0);
        ck_assert(is_zero(pieces[i], sizes[i]));
        memset(pieces[i], (int)(i % 255) + 1, sizes[i]);
    }
    for (size_t i = 0; i < PIECES; i++) {
        for (size_t n = 0; n < sizes[i]; n += 1 + sizes[i] / 100) {
            ck_assert_uint_eq(pieces[i][n], i % 255 + 1);
        }
    }
    arena_free(&arena);
    ck_assert_ptr_null(arena.newest);
    char *again = arena_alloc(&arena, 10);
    ck_assert(is_zero(again, 10));
    arena_free(&arena);
    arena_free(&arena);
}
END_TEST

START_TEST(texts)
{
    struct arena arena = {.newest = NULL};
    ck_assert_str_eq(arena_copy(&arena, "abcdef", 3), "abc");
    ck_assert_str_eq(arena_copy(&arena, NULL, 0), "");
    ck_assert_mem_eq(arena_copy(&arena, "a\0b", 3), "a\0b", 4);
    ck_assert_str_eq(arena_printf(&arena, "%d of %s", 3, "four"), "3 of four");
    ck_assert_str_eq(arena_printf(&arena, "%s", ""), "");
    char *longer = arena_printf(&arena, "%*s", 100000, "x");
    ck_assert_uint_eq(strlen(longer), 100000);
    ck_assert_int_eq(longer[99999], 'x');
    arena_free(&arena);
}
END_TEST

START_TEST(arrays_that_grow)
{
    struct arena arena = {.newest = NULL};
    size_t *items = NULL;
    size_t capacity = 0;
    for (size_t count = 0; count < 5000; count++) {
        size_t before = capacity;
        items = arena_grow(&arena, items, count, &capacity, sizeof *items);
        ck_assert_uint_gt(capacity, count);
        ck_assert(capacity == before || capacity >= 2 * before);
        items[count] = 3 * count;
    }
    for (size_t i = 0; i < 5000; i++) {
        ck_assert_uint_eq(items[i], 3 * i);
    }
    ck_assert(is_zero(arena_array(&arena, 7, 9), 63));
    ck_assert_ptr_nonnull(arena_array(&arena, 0, 9));
    arena_free(&arena);
}
END_TEST

/* What was given out before a reset is given out again, zeroed; a large block is not kept. */
START_TEST(memory_that_is_kept)
{
    enum { PIECE = 20000, PIECES = 30 }; /* one a block, and more blocks than are kept */
    struct arena arena = {.newest = NULL};
    unsigned char *pieces[PIECES];
    for (size_t i = 0; i < PIECES; i++) {
        pieces[i] = arena_alloc(&arena, PIECE);
        memset(pieces[i], 'x', PIECE);
    }
    arena_alloc(&arena, 1000000);
    arena_reset(&arena);
    ck_assert_ptr_null(arena.newest);
    size_t again = 0;
    for (size_t i = 0; i < PIECES; i++) {
        const bool spare = arena.spare != NULL;
        const unsigned char *piece = arena_alloc(&arena, PIECE);
        ck_assert(is_zero(piece, PIECE));
        for (size_t k = 0; spare && k < PIECES; k++) {
            again += piece == pieces[k];
        }
    }
    ck_assert_uint_eq(again, 8);
    arena_reset(&arena);
    arena_reset(&arena); /* what is kept stays kept */
    ck_assert_ptr_nonnull(arena.spare);
    arena_free(&arena);
    ck_assert_ptr_null(arena.spare);
    arena_reset(&arena);
    ck_assert_ptr_null(arena.spare);
}
END_TEST

/* What fills its memory itself leaves nothing of what was there before a reset. */
START_TEST(memory_that_is_filled)
{
    enum { PIECE = 1000 };
    struct arena arena = {.newest = NULL};
    memset(arena_alloc(&arena, PIECE), 'x', PIECE);
    arena_reset(&arena);
    ck_assert_str_eq(arena_copy(&arena, "blade", 5), "blade");
    ck_assert_str_eq(arena_copy(&arena, NULL, 0), "");
    ck_assert_str_eq(arena_printf(&arena, "%d pads", 3), "3 pads");
    unsigned char *items = NULL;
    size_t capacity = 0;
    items = arena_grow(&arena, items, 0, &capacity, 1);
    ck_assert(is_zero(items, capacity));
    memset(items, 'y', capacity);
    const size_t count = capacity;
    items = arena_grow(&arena, items, count, &capacity, 1);
    ck_assert_int_eq(items[count - 1], 'y');
    ck_assert(is_zero(items + count, capacity - count));
    arena_free(&arena);
}
END_TEST

/* What cannot be had ends the program with status 2 and a message. */
START_TEST(out_of_memory)
{
    for (int i = 0; i < 3; i++) {
        int ends[2];
        char said[64] = "";
        int status;
        ck_assert_int_eq(pipe(ends), 0);
        pid_t child = fork();
        ck_assert_int_ge(child, 0);
        if (child == 0) {
            struct arena arena = {.newest = NULL};
            dup2(ends[1], STDERR_FILENO);
            if (i == 0) {
                (void)arena_array(&arena, SIZE_MAX / 8, 9);
            } else if (i == 1) {
                (void)arena_array(&arena, SIZE_MAX / 16 + 2, 16); /* 16 in as many bits */
            } else {
                (void)arena_alloc(&arena, SIZE_MAX - 3);
            }
            _exit(0);
        }
        close(ends[1]);
        ck_assert_int_gt(read(ends[0], said, sizeof said - 1), 0);
        close(ends[0]);
        ck_assert_str_eq(said, "rotortab: out of memory\n");
        ck_assert_int_eq(waitpid(child, &status, 0), child);
        ck_assert(WIFEXITED(status));
        ck_assert_int_eq(WEXITSTATUS(status), 2);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("arena");
    tcase_add_test(tests, pieces_stay_apart);
    tcase_add_test(tests, texts);
    tcase_add_test(tests, arrays_that_grow);
    tcase_add_test(tests, memory_that_is_kept);
    tcase_add_test(tests, memory_that_is_filled);
    tcase_add_test(tests, out_of_memory);
    return run_case("base", tests);
}
