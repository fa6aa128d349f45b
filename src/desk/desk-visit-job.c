#include "desk-visit-job.h"

#include "store-agreement.h"

struct _TdVisitTail
{
  TdUuid visit;
  guint last_seq;
  TdHabits *habits; /* NULL until the earlier visits were read: once, they do not change while one works */
};

struct _TdVisitAppend
{
  TdVisitTail *tail;
  GPtrArray *drafts;
};

TdVisitTail *
td_visit_tail_new (const TdUuid *visit)
{
  TdVisitTail *tail = g_atomic_rc_box_new0 (TdVisitTail);

  tail->visit = *visit;
  return tail;
}

TdVisitTail *
td_visit_tail_ref (TdVisitTail *tail)
{
  return g_atomic_rc_box_acquire (tail);
}

static void
clear_tail (gpointer data)
{
  g_clear_pointer (&((TdVisitTail *) data)->habits, td_habits_unref);
}

void
td_visit_tail_unref (gpointer tail)
{
  g_atomic_rc_box_release_full (tail, clear_tail);
}

void
td_visit_loaded_free (gpointer data)
{
  TdVisitLoaded *loaded = data;

  g_clear_pointer (&loaded->record, td_visit_record_free);
  g_clear_pointer (&loaded->masters, td_masters_unref);
  g_clear_pointer (&loaded->habits, td_habits_unref);
  g_free (loaded->amends_number);
  g_free (loaded->amended_by);
  g_free (loaded);
}

/* The numbers of the reports before and after in a chain of amendments. */
static gboolean
read_chain (TdBook *book, TdVisitLoaded *loaded, GError **error)
{
  const TdVisitRow *row = loaded->record->row;
  const TdVisitsFilter filter = { .site_id = row->site_id };
  g_autoptr (GPtrArray) rows = NULL;

  if (!row->amends && !row->amended)
    return TRUE;
  rows = td_book_list_visits (book, &filter, error);
  for (guint i = 0; rows != NULL && i < rows->len; i++)
    {
      const TdVisitRow *other = g_ptr_array_index (rows, i);

      if (row->amends && td_uuid_equal (&other->id, &row->amends_id))
        loaded->amends_number = g_strdup (other->number);
      if (row->amended && td_uuid_equal (&other->id, &row->amended_by))
        loaded->amended_by = g_strdup (other->number);
    }
  return rows != NULL;
}

/* More visits back, other people work there. */
#define VISITS_LEARNT 3

/* The parts that the account's prices name on the day of the visit. */
static gboolean
offer_parts (TdBook *book, TdHabits *habits, const TdVisitRow *row, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_agreements (book, row->account_id, error);

  for (guint i = 0; rows != NULL && i < rows->len; i++)
    {
      const TdAgreement *agreement = ((TdAgreementRow *) g_ptr_array_index (rows, i))->agreement;

      if (agreement->from > row->date || (agreement->to != TD_DATE_NONE && agreement->to < row->date))
        continue;
      for (guint j = 0; j < agreement->parts->len; j++)
        td_habits_offer_part (habits, g_array_index (agreement->parts, TdItemPrice, j).name);
      break;
    }
  return rows != NULL;
}

static gboolean
learn (TdBook *book, TdVisitTail *tail, const TdVisitRow *row, GError **error)
{
  const TdVisitsFilter filter = { .site_id = row->site_id, .newest_only = TRUE, .limit = VISITS_LEARNT + 1 };
  g_autoptr (TdHabits) habits = td_habits_new ();
  g_autoptr (GPtrArray) rows = NULL;

  if (tail->habits != NULL)
    return TRUE;
  rows = td_book_list_visits (book, &filter, error);
  for (guint i = 0; rows != NULL && i < rows->len; i++)
    {
      const TdVisitRow *other = g_ptr_array_index (rows, i);
      g_autoptr (TdVisitRecord) record = NULL;

      if (td_uuid_equal (&other->id, &tail->visit))
        continue;
      record = td_book_load_visit (book, &other->id, error);
      if (record == NULL)
        return FALSE;
      td_habits_learn (habits, record->visit);
    }
  if (rows == NULL || !offer_parts (book, habits, row, error))
    return FALSE;
  tail->habits = g_steal_pointer (&habits);
  return TRUE;
}

gboolean
td_visit_load_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdVisitTail *tail = data;
  g_autoptr (TdVisitRecord) record = td_book_load_visit (book, &tail->visit, error);
  g_autoptr (TdMasters) masters = NULL;
  TdVisitLoaded *loaded;

  if (record == NULL)
    return FALSE;
  masters = td_book_get_masters (book, error);
  if (masters == NULL)
    return FALSE;
  tail->last_seq = record->visit->last_seq;
  loaded = g_new0 (TdVisitLoaded, 1);
  loaded->record = g_steal_pointer (&record);
  loaded->masters = g_steal_pointer (&masters);
  if (!read_chain (book, loaded, error) || !learn (book, tail, loaded->record->row, error))
    {
      td_visit_loaded_free (loaded);
      return FALSE;
    }
  loaded->habits = td_habits_ref (tail->habits);
  *result_out = loaded;
  return TRUE;
}

TdVisitAppend *
td_visit_append_new (TdVisitTail *tail, GPtrArray *drafts)
{
  TdVisitAppend *append = g_new0 (TdVisitAppend, 1);

  append->tail = td_visit_tail_ref (tail);
  append->drafts = drafts;
  return append;
}

void
td_visit_append_free (gpointer data)
{
  TdVisitAppend *append = data;

  td_visit_tail_unref (append->tail);
  g_ptr_array_unref (append->drafts);
  g_free (append);
}

static gboolean
append_drafts (TdBook *book, TdVisitAppend *append, GError **error)
{
  TdBookAppend options = { .expected_seq = append->tail->last_seq + 1 };
  guint count = 0;

  if (append->drafts->len == 1)
    return td_book_append (book, g_ptr_array_index (append->drafts, 0), &options, NULL, error);
  /* The store knows no expected seq for several; the look before is as good as the person's own, who saw
   * the same state, and what is written is facts either way. */
  if (!td_book_count_entries (book, &append->tail->visit, &count, error))
    return FALSE;
  if (count != append->tail->last_seq)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT,
                   "This visit has gone on elsewhere: it has %u entries, %u were expected. Nothing was written; "
                   "look at what is new, then repeat the act.",
                   count, append->tail->last_seq);
      return FALSE;
    }
  return td_book_append_many (book, append->drafts, NULL, NULL, error);
}

gboolean
td_visit_append_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdVisitAppend *append = data;

  if (!append_drafts (book, append, error))
    return FALSE;
  append->tail->last_seq += append->drafts->len;
  /* The act is on disk: from here on a failure to read is reported, but must not be taken for a failure
   * to write, so it is tried once more before it is believed. */
  return td_visit_load_job (book, append->tail, result_out, NULL)
         || td_visit_load_job (book, append->tail, result_out, error);
}
