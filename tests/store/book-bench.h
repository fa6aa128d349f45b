/* book-bench.h: a test book in a folder of its own, and visits of core's bench recorded into it. */
#pragma once

#include "store-journal.h"
#include "store-master.h"
#include "visit-bench.h"

typedef struct
{
  char *folder;
  char *path;
  TdClock *clock; /* pinned at 05:00 of the bench's day */
  TdBook *book;   /* NULL where a test has closed it */
  Bench *bench;   /* site and company, which the book has taken in */
} BookBench;

BookBench *book_bench_new (void);
/* The same without a company or a site. */
BookBench *book_bench_new_empty (void);
void book_bench_free (BookBench *bench);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BookBench, book_bench_free)

/* Closes the book and opens it again. */
void book_bench_reopen (BookBench *bench);
void book_bench_close (BookBench *bench);
/* Path of a file in the folder. (transfer full) */
char *book_bench_path (const BookBench *bench, const char *name);

/* The n-th visit's id, the same in every run. */
TdUuid book_bench_visit (guint n);
/* A line as bench_make_entry() reads it, as a draft; @recorded_ms_out: (optional). (transfer full) */
TdDraft *book_bench_draft (const TdUuid *visit, const char *line, gint64 *recorded_ms_out);
/* Records a line as of the time that it bears. */
gboolean book_bench_try (BookBench *bench, const TdUuid *visit, const char *line, GError **error);
/* The same, and it must be taken. */
void book_bench_add (BookBench *bench, const TdUuid *visit, const char *line);
/* The first @n lines of bench_good_visit; 0: all. */
void book_bench_add_visit (BookBench *bench, const TdUuid *visit, guint n);
/* All of it and the closing, at 07:27. */
void book_bench_add_closed (BookBench *bench, const TdUuid *visit);

/* The check must pass, or fail with a message that holds @part. */
void book_bench_check (BookBench *bench);
void book_bench_check_fails (BookBench *bench, const char *part);

/* Runs SQL on the file through a connection without any safeguard. */
void book_bench_run_sql (const char *path, const char *sql);
/* First column of the first row. */
gint64 book_bench_ask_sql (const char *path, const char *sql);
/* What fails there: SQLite's message, NULL where it does not fail. (transfer full) */
char *book_bench_try_sql (const char *path, const char *sql);
/* Runs SQL with every trigger taken away and put back afterwards: a change behind the book's back. Returns
 * the message where it fails. (transfer full) (nullable) */
char *book_bench_tamper (const char *path, const char *sql);
/* SHA-256 of a file's bytes. (transfer full) */
char *book_bench_hash_file (const char *path);
/* Takes a folder and everything in it away. */
void book_bench_remove (const char *folder);

/* 1; where TUNDISH_STRIDE is a number, that: long sweeps (each byte, each write) then take only each n-th step,
 * so that they end in time under the sanitizers. */
guint book_bench_stride (void);
