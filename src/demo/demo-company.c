#include "demo-company.h"

#include "core-masters.h"

#include <string.h>

/* A lot is bought twice a year and keeps somewhat longer, so that the next is there before it ends. */
#define LOT_EVERY_DAYS 182
#define LOT_KEEPS_DAYS 300

#define DATE_LENGTH 10 /* of YYYY-MM-DD */
#define LOTS_KEY "\"lots\": ["

/* The date in quotes that stands at @text, if one does. */
static gboolean
read_quoted_date (const char *text, const char *end, TdDate *date_out)
{
  char word[DATE_LENGTH + 1] = { 0 };

  if (end - text < DATE_LENGTH + 2 || text[0] != '"' || text[DATE_LENGTH + 1] != '"')
    return FALSE;
  memcpy (word, text + 1, DATE_LENGTH);
  return td_date_parse (word, date_out, NULL);
}

static GString *
move_dates (const char *text, gsize length, int days)
{
  GString *moved = g_string_sized_new (length);
  const char *end = text + length;

  while (text < end)
    {
      g_autofree char *date_text = NULL;
      TdDate date;

      if (!read_quoted_date (text, end, &date))
        {
          g_string_append_c (moved, *text++);
          continue;
        }
      date_text = td_date_to_text (date + days);
      g_string_append_printf (moved, "\"%s\"", date_text);
      text += DATE_LENGTH + 2;
    }
  return moved;
}

/* Ids and codes tell the month as the file's own do, before anything was moved: they stay the same
 * wherever the demonstration stands, and none comes twice. */
static void
append_lot (GString *lots, const TdLot *first, TdDate received, int shift_days)
{
  g_autofree char *received_text = td_date_to_text (received);
  g_autofree char *expiry_text = td_date_to_text (received + LOT_KEEPS_DAYS);
  g_auto (GStrv) id = g_strsplit (first->id, "-", 2);
  g_auto (GStrv) code = g_strsplit (first->code, "-", 2);
  int year;
  int month;
  int day;

  td_date_split (received - shift_days, &year, &month, &day);
  g_string_append_printf (lots,
                          "\n    {\"id\": \"%s-%02d%02d\", \"product\": \"%s\", \"code\": \"%s-%02d%02d\", "
                          "\"received\": \"%s\", \"expiry\": \"%s\"},",
                          id[0], year % 100, month, first->product, code[0], year % 100, month, received_text,
                          expiry_text);
}

static const TdLot *
find_first_lot (const TdMasters *masters, const char *product)
{
  const TdLot *first = NULL;

  for (guint i = 0; i < masters->n_lots; i++)
    if (strcmp (masters->lots[i].product, product) == 0 &&
        (first == NULL || masters->lots[i].received < first->received))
      first = &masters->lots[i];
  return first;
}

static char *
list_older_lots (const TdMasters *masters, int shift_days, TdDate oldest)
{
  GString *lots = g_string_new (NULL);

  for (guint i = 0; i < masters->n_products; i++)
    {
      const TdLot *first = find_first_lot (masters, masters->products[i].id);
      TdDate received = first != NULL ? first->received : oldest;

      while (received > oldest)
        {
          received -= LOT_EVERY_DAYS;
          append_lot (lots, first, received, shift_days);
        }
    }
  return g_string_free (lots, FALSE);
}

char *
td_demo_company_move (const char *text, gssize length, int shift_days, TdDate oldest, GError **error)
{
  gsize bytes = length >= 0 ? (gsize) length : strlen (text);
  g_autoptr (GString) moved = move_dates (text, bytes, shift_days);
  g_autoptr (TdJson) json = td_json_parse (moved->str, (gssize) moved->len, error);
  g_autoptr (TdMasters) masters = json != NULL ? td_masters_from_json (json, error) : NULL;
  g_autofree char *lots = NULL;
  const char *place;

  if (masters == NULL)
    return NULL;
  place = strstr (moved->str, LOTS_KEY);
  lots = list_older_lots (masters, shift_days, oldest);
  if (place != NULL && masters->n_lots > 0)
    g_string_insert (moved, place - moved->str + (gssize) strlen (LOTS_KEY), lots);
  return g_string_free (g_steal_pointer (&moved), FALSE);
}
