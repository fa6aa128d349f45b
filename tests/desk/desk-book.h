/* desk-book.h: a book for the tests of the window: the demonstration's company with some visits. */
#pragma once

#include "core-time.h"
#include "store-book.h"

/* When the tests of the window happen: 30 June 2026, 10:00 in Dublin; two weeks after the visits. */
#define TD_TEST_NOW_MS G_GINT64_CONSTANT (1782810000000)

/* Makes a test book at @path: the sites of data/demo, the visits of tests/replay/01 and 02, the latter
 * without its last @keep_open entries (0: closed). */
void td_test_book_make (const char *path, guint keep_open);
/* Imports every site sheet and the company. */
void td_test_book_fill (TdBook *book);
/* Appends the lines of a replay, except the last @but_last. Returns the visit's id. */
TdUuid td_test_book_replay (TdBook *book, const char *name, guint but_last);
