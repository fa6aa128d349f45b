/* Whether the record is whole: scope, lines, chemicals, signatures. */
#include <string.h>

#include "core-judge.h"

static gboolean
has_scope (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].in_scope[TD_CLEAN_CAUSTIC] || visit->lines[i].in_scope[TD_CLEAN_ACID])
      return TRUE;
  return FALSE;
}

/* A call-out may be about a fault alone, an amendment about words. */
void
td_judge_scope_missing (TdJudge *judge)
{
  const char *work = judge->visit->work;

  if (strcmp (work, "call-out") != 0 && strcmp (work, "amendment") != 0
      && !has_scope (judge->visit))
    td_judge_find (judge, -1, 0, judge->visit->arrival.seq,
                   "no scope was agreed: record which lines get which clean");
}

static gboolean
is_cleaned (const TdVisitLine *line, TdClean clean)
{
  for (guint i = 0; i < line->passes->len; i++)
    {
      const TdPass *pass = &g_array_index (line->passes, TdPass, i);

      if (pass->clean == clean && pass->contact_end.seq != 0)
        return TRUE;
    }
  return FALSE;
}

void
td_judge_line_not_cleaned (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    for (guint k = 0; k < TD_N_CLEANS; k++)
      {
        const TdVisitLine *line = &judge->visit->lines[i];

        if (line->in_scope[k] && line->left_out.seq == 0 && !is_cleaned (line, (TdClean)k))
          td_judge_find (judge, (int)i, 0, 0,
                         "%s clean in scope, neither made nor the line left out",
                         td_clean_to_text ((TdClean)k));
      }
}

/* As the entry has it: a lot that the book has lost since was on record. */
static gboolean
names_lot (const TdJudge *judge, const TdBatch *batch)
{
  const TdEntry *entry = td_visit_get_effective (judge->visit, batch->mixed.seq);

  return entry != NULL && td_json_get_member (entry->body, "lot") != NULL;
}

void
td_judge_chemical_without_lot (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);

      if (!names_lot (judge, batch))
        td_judge_find (judge, -1, 0, batch->mixed.seq, "mix %s of %s has no lot", batch->id,
                       batch->product != NULL ? batch->product->name : "an unknown product");
    }
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);

      if (pass != NULL && pass->batch == G_MAXUINT)
        td_judge_find (judge, (int)i, 0, td_pass_get_begin (pass).seq,
                       "chemical was sent in of a mix that is not on record any more");
    }
}

void
td_judge_chemical_without_amount (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (judge->visit->batches, TdBatch, i);

      if (batch->concentrate_ml <= 0)
        td_judge_find (judge, -1, 0, batch->mixed.seq, "mix %s of %s has no amount of concentrate",
                       batch->id,
                       batch->product != NULL ? batch->product->name : "an unknown product");
    }
}

/* Where a correction took an act of chemical out of the state, the line only seems to be without.
 */
void
td_judge_chemical_act_lost (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->kept_out->len; i++)
    {
      guint seq = g_array_index (judge->visit->kept_out, guint, i);
      const TdEntry *entry = td_visit_get_effective (judge->visit, seq);

      if (entry->envelope.kind == TD_KIND_CHEMICAL_IN
          || entry->envelope.kind == TD_KIND_CHEMICAL_SEEN)
        td_judge_find (
            judge, -1, 0, seq,
            "entry %u (%s) has lost its place by a correction: void it, or correct it too", seq,
            td_kind_get_text (entry->envelope.kind));
    }
}

void
td_judge_signature_missing (TdJudge *judge)
{
  if (!judge->visit->signature.given)
    td_judge_find (judge, -1, 0, 0, "nobody has signed for the work done");
}

void
td_judge_countersignature_missing (TdJudge *judge)
{
  if (!judge->visit->countersignature.given)
    td_judge_find (judge, -1, 0, 0,
                   "no countersignature, nor why there is none (nobody present, or refused)");
}

void
td_judge_countersignature_refused (TdJudge *judge)
{
  const TdSignature *signature = &judge->visit->countersignature;

  if (signature->given && strcmp (signature->meaning, "refused") == 0)
    td_judge_find (judge, -1, 0, signature->stamp.seq, "the countersignature was refused: %s",
                   signature->reason != NULL ? signature->reason : "no reason given");
}

/* What may follow the signature: words on the visit, and the other signature. */
static gboolean
is_after_word (TdKind kind)
{
  static const TdKind kinds[] = {
    TD_KIND_NOTE,       TD_KIND_PHOTO,     TD_KIND_FINDING_REASON,
    TD_KIND_CORRECTION, TD_KIND_SIGNATURE, TD_KIND_COUNTERSIGNATURE,
    TD_KIND_CLOSING,    TD_KIND_LEFT_TIDY,
  };

  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (kinds[i] == kind)
      return TRUE;
  return FALSE;
}

void
td_judge_signed_before_end (TdJudge *judge)
{
  const TdSignature *signature = &judge->visit->signature;
  const TdEntry *first = NULL;
  g_autofree char *clock = NULL;
  guint count = 0;

  if (!signature->given)
    return;
  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);

      if (entry == NULL || is_after_word (entry->envelope.kind)
          || entry->envelope.happened.utc_ms <= signature->stamp.at_ms)
        continue;
      first = first == NULL ? entry : first;
      count++;
    }
  if (count == 0)
    return;
  clock = td_judge_clock (judge, signature->stamp);
  td_judge_find (judge, -1, 0, first->envelope.seq,
                 "signed for at %s; acts after that: %u, the first is entry %u (%s)", clock, count,
                 first->envelope.seq, td_kind_get_text (first->envelope.kind));
}
