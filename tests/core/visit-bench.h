/* visit-bench.h: an invented site and company, and a short way to write down visits to it.
 *
 * A line of a script is "HH:MM[:SS] KIND key=value ... [@PERSON] [!TIME] [^TIME] [%BOOT]": the day is
 * 2026-03-02, UTC; ! says when it was written down (5 s after it happened where left out, never before the
 * entry before it), ^ what the clock since boot shows then, % which run of the machine it was; lists are parted by commas, values with spaces or JSON stand in single quotes. */
#pragma once

#include "core-visit.h"

/* 2026-03-02T00:00:00Z, by GNU date. */
#define BENCH_DAY_MS G_GINT64_CONSTANT (1772409600000)

typedef struct
{
  TdVisitContext context;
  GPtrArray *entries; /* TdEntry */
  TdLineHistory *history; /* NULL, or what the context has */
} Bench;

/* Site: towers TA "Front bar" and TB "Terrace", coolers C1 "Cold room" and C2 "Cellar"; lines A1 (plain),
 * A2 (plain), A3 (one-way pump), A4 (reversible pump, FOB), B5, B6 (FOB, 6 m would be long: 4 m), B7 (with
 * side faucet B7s at TA; 30 m) at C1; A9 and B8 at C2. */
Bench *bench_new (void);
void bench_free (Bench *bench);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Bench, bench_free)

/* Milliseconds UTC of "06:12" or "06:12:30" on the day. */
gint64 bench_time (const char *clock);
/* Makes the entry of a line without folding it; NULL with the error where its shape is wrong. */
TdEntry *bench_make_entry (Bench *bench, const char *line, GError **error);
/* Makes the entry, folds all with it, and keeps it where the fold took it. */
gboolean bench_try (Bench *bench, const char *line, GError **error);
/* The same, and it must be taken. */
void bench_add (Bench *bench, const char *line);
void bench_add_lines (Bench *bench, const char *const *lines);
/* Takes the first @n_lines of a script as they are, unfolded. */
void bench_fill (Bench *bench, const char *const *lines, guint n_lines);
/* The entries so far must fold. (transfer full) */
TdVisit *bench_fold (Bench *bench);
const TdVisitLine *bench_line (const TdVisit *visit, const char *id);
const TdPass *bench_pass (const TdVisit *visit, const char *id);

/* A whole visit in which nothing is amiss: circuit 1 of A4 (in, reversed) and A2, static B6; ends with the
 * countersignature. NULL-terminated. */
extern const char *const bench_good_visit[];
/* Its first lines up to the plan, and up to the mixed solution. */
#define BENCH_UP_TO_PLAN 9
#define BENCH_UP_TO_MIX 27

#define BENCH_PLAN_1 \
  "plan='{\"circuits\":[{\"number\":1,\"station\":\"TA\",\"legs\":[" \
  "{\"line\":\"A4\",\"direction\":\"in\",\"reversal\":\"yes\"}," \
  "{\"line\":\"A2\",\"direction\":\"out\",\"reversal\":\"no\"}]}]," \
  "\"static\":[{\"line\":\"B6\",\"cooler\":\"C1\",\"fed_by\":1}]}'"
