/* store-bundle.h: what two copies of the book tell each other, as one file.
 *
 * A bundle is an SQLite file with the closed visits that the other does not have yet, their pictures and
 * sheets, all master data, and a manifest with a hash over all of it.  Reading one is whole or nothing and
 * may be repeated; a book trusts nothing in it that it has not verified itself. */
#pragma once

#include "store-book.h"
#include "store-master.h"

G_BEGIN_DECLS

/* Ending of the name of a bundle's file. */
#define TD_BUNDLE_ENDING ".bundle"
/* Largest bundle that is read, bytes: some 800 pictures of the largest size, or 8,000 visits without. */
#define TD_BUNDLE_MAX (G_GINT64_CONSTANT (256) << 20)

/* A master row that two books changed apart from each other. */
typedef struct
{
  char *kind; /* "product" */
  char *slug;
  guint kept_rev, other_rev;
  char *kept;  /* the version that holds, canonical JSON */
  char *other; /* the one that gave way */
  gint64 met_ms;
} TdBundleConflict;

void td_bundle_conflict_free (TdBundleConflict *conflict);

/* What a bundle held. */
typedef struct
{
  char *sha256;      /* of its content */
  char *from;        /* prefix of the device that wrote it */
  gboolean test;     /* written by a demonstration or test book */
  gint64 written_ms; /* by the writer's clock */
  gboolean again;    /* had been taken in before; nothing was done */
  guint visits;      /* written; of those read, the new ones */
  guint known;       /* visits read that the book had already, the same */
  guint attachments; /* likewise */
  TdImportCount rows; /* master rows, agreements, notes of the round; written ones are "added" */
  GPtrArray *conflicts; /* TdBundleConflict: those that it brought up */
} TdBundleSum;

void td_bundle_sum_clear (TdBundleSum *sum);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdBundleSum, td_bundle_sum_clear)

typedef struct
{
  gboolean all;          /* also what the others are known to hold */
  gboolean masters_only; /* no visits */
  const char *to;        /* (nullable): prefix of the copy it is for; NULL for whoever lacks something */
} TdBundleOut;

/* Writes a bundle; an earlier one of that name is replaced at once by the whole new one, any other file is
 * left alone (TD_BOOK_ERROR_EXISTS).  What goes are the visits that some copy of the book, of those whose
 * bundles were read, does not hold yet; all closed visits while no copy is known.
 * @options: (nullable). @sum_out: (out) (optional). */
gboolean td_book_write_bundle (TdBook *book, const char *path, const TdBundleOut *options, TdBundleSum *sum_out,
                               GError **error);

/* Takes a bundle in, in one transaction.  Visits are held against digests, seals, the chain of their
 * device, their snapshots and their sheets.  A master row that only the other side changed is taken over;
 * one that both changed is decided by the higher rev (where they are equal, by the higher hash, so that
 * both sides decide alike) and both versions are kept as a conflict.
 * TD_BOOK_ERROR_NOT_A_BOOK: no bundle, or one with more in it than a bundle has. _NEWER, _DAMAGED.
 * _MISSING: visits before those in it, or a visit that one amends, are in neither. _CONFLICT: the same
 * report number or visit is sealed otherwise here, or a name stands for another site or account here.
 * Nothing is taken in then. @refuse_test: refuse the bundle of a test book where this is a real one. */
gboolean td_book_read_bundle (TdBook *book, const char *path, gboolean refuse_test, TdBundleSum *sum_out,
                              GError **error);

/* Returns: (transfer full) (element-type TdBundleConflict): all that the book keeps, oldest first. */
GPtrArray *td_book_list_conflicts (TdBook *book, GError **error);

G_END_DECLS
