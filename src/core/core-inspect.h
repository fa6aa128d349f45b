/* core-inspect.h: the cleaning record of one site as those who inspect it want it: what the chosen rules ask
 * for, what each visit has of it, and what is missing.
 *
 * Rules differ from place to place and change; core-inspect.def names where each was read.  The text of the
 * law decides, not this table. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
#define TD_RECORD_RULES(symbol, code, name, source, days) TD_RECORD_RULES_##symbol,
#include "core-inspect.def"
#undef TD_RECORD_RULES
  TD_N_RECORD_RULES
} TdRecordRules;

typedef enum
{
#define TD_RECORD_ITEM(symbol, code, text, rules) TD_RECORD_##symbol,
#include "core-inspect.def"
#undef TD_RECORD_ITEM
  TD_N_RECORD_ITEMS
} TdRecordItem;

typedef struct
{
  const char *code;   /* stable: "us-pa" */
  const char *name;   /* translatable */
  const char *source;
  int days;           /* between two cleans; 0: the site's own interval holds */
} TdRecordRulesInfo;

const TdRecordRulesInfo *td_record_rules_get_info (TdRecordRules rules);
gboolean td_record_rules_find (const char *code, TdRecordRules *rules_out);
/* TRUE where these rules ask for the item. */
gboolean td_record_rules_ask (TdRecordRules rules, TdRecordItem item);
const char *td_record_item_to_text (TdRecordItem item); /* stable code: "countersigned" */
const char *td_record_item_get_text (TdRecordItem item); /* translatable */

/* A mix of a visit. */
typedef struct
{
  char *product, *lot;   /* name and code; NULL where not known */
  gint64 concentrate_ml; /* -1 where not said */
  gint64 percent_milli;  /* measured, else as mixed; -1 where neither */
  TdBasis basis;
  TdDate sds_revised;    /* TD_DATE_NONE where no sheet was on file */
} TdInspectedMix;

/* A visit on which at least one line was cleaned. */
typedef struct
{
  char *visit;        /* UUID */
  char *number;       /* of the report, NULL while it is open */
  TdDate date;
  char *cleaners;     /* names, ", " between */
  char *circulating;  /* titles of the lines, ", " between; NULL where none */
  char *still;        /* static ones */
  char *parts;        /* fitted, "; " between; NULL where none */
  GArray *mixes;      /* TdInspectedMix, owned */
  guint passes, rinsed; /* ways of chemical through lines, and how many of them passed their rinse */
  char *signed_by;    /* NULL where nobody signed */
  char *countersigned_by;
  char *not_countersigned; /* "nobody-present", "refused" or NULL */
  int days;           /* since the cleaning before; -1 for the first that the book has */
  gboolean missing[TD_N_RECORD_ITEMS]; /* only items that the rules ask for */
} TdInspectedVisit;

typedef struct _TdInspection
{
  char *site, *account, *address; /* NULL where not said */
  char *company;
  TdMasters *masters;
  TdRecordRules rules;
  TdDate from, to;
  int interval_days;  /* that holds */
  TdDate first;       /* first cleaning in the period, TD_DATE_NONE where there is none */
  GPtrArray *visits;  /* TdInspectedVisit, by date */
  int days_since;     /* from the last cleaning to the end of the period; -1 where there is none */
} TdInspection;

/* @masters: as they are now: the company, and the safety data sheets that are on file. @interval_days: of the site, for rules that have none of their own; above 0. @from, @to: a period. */
TdInspection *td_inspection_new (const TdSite *site, TdMasters *masters, TdRecordRules rules, int interval_days,
                                 TdDate from, TdDate to);
void td_inspection_free (TdInspection *inspection);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdInspection, td_inspection_free)

/* Takes in a visit of the site; to be called by date.  One on which no line was cleaned is left out; one
 * before the period counts for the interval alone. @number: (nullable). */
void td_inspection_add (TdInspection *inspection, const TdVisit *visit, const char *number);
/* Call after the last visit: measures to the end of the period. */
void td_inspection_finish (TdInspection *inspection);

/* On how many visits an item is missing; and all together. An overdue next cleaning is not among them. */
guint td_inspection_count_missing (const TdInspection *inspection, TdRecordItem item);
guint td_inspection_count_all_missing (const TdInspection *inspection);
/* TRUE where the last cleaning lies longer back than the interval, or there is none. */
gboolean td_inspection_is_overdue (const TdInspection *inspection);

/* {"format": "tundish-inspection/1", "site", ..., "items": [{"code", "asked", "missing"}], "visits": [...]}.
 * (transfer full) */
TdJson *td_inspection_to_json (const TdInspection *inspection);

G_END_DECLS
