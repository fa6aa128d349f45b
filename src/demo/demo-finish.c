/* demo-finish.c: checking and signing an invented visit. */
#include "demo-writer-private.h"

#include <string.h>

static const char *
find_instrument_id (const TdDemoWriter *writer, TdInstrumentKind kind)
{
  for (guint i = 0; i < writer->visit->masters->n_instruments; i++)
    if (writer->visit->masters->instruments[i].kind == kind)
      return writer->visit->masters->instruments[i].id;
  return NULL;
}

static void
read_beer (TdDemoWriter *writer, const char *id)
{
  td_demo_act (writer, TD_KIND_TEMPERATURE_READ, 20,
               "{\"of\":\"beer\",\"lines\":[\"%s\"],\"temperature_c_milli\":%d,\"instrument\":\"%s\","
               "\"known\":\"measured\"}",
               id, 100 * td_demo_pick (writer, 29, 38), find_instrument_id (writer, TD_INSTRUMENT_THERMOMETER));
  td_demo_act (writer, TD_KIND_POUR_RATE_READ, 20,
               "{\"lines\":[\"%s\"],\"pour_ml_min\":%d,\"known\":\"measured\"}", id,
               10 * td_demo_pick (writer, 310, 400));
}

static void
look_for_faults (TdDemoWriter *writer)
{
  const char *first = g_ptr_array_index (writer->scope, 0);

  if (writer->visit->fault_text == NULL)
    return;
  {
    g_autofree char *text = td_demo_quote (writer->visit->fault_text);

    td_demo_act (writer, TD_KIND_FAULT, 60,
                 "{\"line\":\"%s\",\"symptom\":\"slow\",\"extent\":\"one-line\",\"cause\":\"equipment\","
                 "\"severity\":\"quality\",\"text\":%s,\"action\":\"Owner told; part to be brought next time\","
                 "\"quote_wanted\":\"yes\",\"follow_up\":\"yes\"}",
                 first, text);
  }
}

void
td_demo_check (TdDemoWriter *writer)
{
  const TdSite *site = writer->visit->site;
  g_autofree char *lines = td_demo_list (writer->scope);

  for (guint i = 0; i < site->n_outlets; i++)
    read_beer (writer, site->outlets[i].id);
  for (guint i = 0; i < site->n_lines; i++)
    td_demo_act (writer, TD_KIND_PRESSURE_READ, 8,
                 "{\"lines\":[\"%s\"],\"gas\":\"keg\",\"pressure_pa\":%d,\"instrument\":\"%s\",\"known\":\"measured\"}",
                 site->lines[i].id, 1000 * td_demo_pick (writer, 88, 112),
                 find_instrument_id (writer, TD_INSTRUMENT_PRESSURE_GAUGE));
  td_demo_act (writer, TD_KIND_LEAK_CHECKED, 60, "{\"lines\":%s,\"result\":\"tight\"}", lines);
  look_for_faults (writer);
  td_demo_act (writer, TD_KIND_SOLUTION_DISPOSED, 120,
               "{\"batch\":\"M1\",\"volume_ml\":%d,\"ph_milli\":%d,\"drain\":\"neutralised\",\"known\":\"estimated\"}",
               1000 * td_demo_pick (writer, 5, 12), 10 * td_demo_pick (writer, 700, 880));
  if (writer->visit->acid)
    td_demo_act (writer, TD_KIND_SOLUTION_DISPOSED, 60,
                 "{\"batch\":\"M2\",\"volume_ml\":%d,\"ph_milli\":%d,\"drain\":\"neutralised\",\"known\":\"estimated\"}",
                 1000 * td_demo_pick (writer, 5, 12), 10 * td_demo_pick (writer, 600, 690));
  td_demo_act (writer, TD_KIND_LEFT_TIDY, 60, "{}");
}

/* A made-up hand: a run of waves, in hundredths of a millimetre, 20 ms from point to point. */
static char *
write_hand (TdDemoWriter *writer)
{
  GString *strokes = g_string_new ("[");
  int strokes_wanted = td_demo_pick (writer, 2, 3);
  int x = 300;
  int ms = 0;

  for (int s = 0; s < strokes_wanted; s++)
    {
      g_string_append (strokes, s > 0 ? ",[" : "[");
      for (int i = 0; i < 24; i++)
        {
          x += td_demo_pick (writer, 20, 90);
          ms += 20;
          g_string_append_printf (strokes, "%s%d,%d,%d", i > 0 ? "," : "", x,
                                  900 + ((i + s) % 4 < 2 ? 1 : -1) * td_demo_pick (writer, 40, 420), ms);
        }
      g_string_append_c (strokes, ']');
      x += 150;
      ms += 260;
    }
  g_string_append_c (strokes, ']');
  return g_string_free (strokes, FALSE);
}

void
td_demo_sign (TdDemoWriter *writer)
{
  const TdTechnician *who = td_masters_find_technician (writer->visit->masters, writer->visit->technician);
  g_autofree char *name = td_demo_quote (who != NULL ? who->name : writer->visit->technician);
  g_autofree char *hand = write_hand (writer);
  g_autofree char *other = write_hand (writer);

  if (writer->visit->short_contact)
    td_demo_act (writer, TD_KIND_FINDING_REASON, 30,
                 "{\"code\":\"contact-short\",\"reason\":\"The bar had to open; contact was cut and the owner told\"}");
  td_demo_act (writer, TD_KIND_SIGNATURE, 60, "{\"name\":%s,\"meaning\":\"work-done\",\"strokes\":%s}", name, hand);
  if (td_demo_pick (writer, 0, 4) == 0)
    td_demo_act (writer, TD_KIND_COUNTERSIGNATURE, 60, "{\"meaning\":\"nobody-present\"}");
  else
    td_demo_act (writer, TD_KIND_COUNTERSIGNATURE, 60,
                 "{\"meaning\":\"informed\",\"name\":\"Duty manager\",\"strokes\":%s}", other);
  td_demo_act (writer, TD_KIND_CLOSING, 30, "{}");
}
