/* Forms of master data: nothing is lost, what is wrong is told at its field, figures are core's own. */
#include "model-form.h"

#include "core-error.h"
#include "core-json-build.h"
#include "core-leg.h"
#include "core-site.h"
#include "core-tubing.h"

#include <math.h>
#include <string.h>

static const TdUnitStyle metric = { TD_UNITS_METRIC, '.' };
static const TdUnitStyle us = { TD_UNITS_US, '.' };
static const TdUnitStyle comma = { TD_UNITS_METRIC, ',' };

/* A sheet with everything that a sheet can say. */
static const char full[]
    = "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"Quay Houses\"},"
      "\"site\":{\"name\":\"The Sluice\",\"address\":\"1 Lock Lane\\nWeirham\",\"zone\":\"Europe/Dublin\","
      "\"language\":\"de\",\"interval_days\":14},"
      "\"coolers\":[{\"id\":\"C1\",\"name\":\"Cold room\",\"height_m\":-2.5}],"
      "\"towers\":[{\"id\":\"T1\",\"name\":\"Front\",\"height_m\":1.1},{\"id\":\"T2\"}],"
      "\"lines\":[{\"id\":\"L1\",\"number\":1,\"tower\":\"T1\",\"cooler\":\"C1\",\"beer_pump\":\"reversible\","
      "\"fob\":true,\"product\":\"Red ale\",\"faucet\":\"standard\",\"coupler\":\"D\","
      "\"segments\":[{\"material\":\"barrier\",\"bore_mm\":7.9375,\"length_m\":12.3456},"
      "{\"material\":\"vinyl\",\"bore_mm\":4.7625,\"length_m\":1.5,\"roughness_mm\":0.01,\"k\":2.5}],"
      "\"side_faucets\":[{\"id\":\"S1\",\"number\":3,\"tower\":\"T2\",\"segments\":[{\"bore_mm\":6.35,\"length_m\":2}]}]},"
      "{\"id\":\"L2\",\"tower\":\"T2\",\"cooler\":\"C1\",\"check_valve\":true,\"head_loss_m\":12.5,\"volume_ml\":2140}],"
      "\"cleaning_pump\":{\"curve\":[[0,45],[4,38],[8,15.5]]},"
      "\"solution\":{\"substance\":\"koh\",\"percent\":3,\"temperature_c\":35},"
      "\"limits\":{\"min_flow_l_min\":4,\"max_pressure_kpa\":300}}";

static TdForm *
make (const TdFormType *type, const char *text, const TdUnitStyle *style)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = text != NULL ? td_json_parse (text, -1, &error) : NULL;

  g_assert_no_error (error);
  return td_form_new (type, json, style);
}

static guint
at (TdForm *form, const char *key)
{
  int field = td_form_type_find (td_form_get_form_type (form), key);

  g_assert_cmpint (field, >=, 0);
  return (guint) field;
}

static TdForm *
item (TdForm *form, const char *key, guint position)
{
  g_autoptr (TdForm) found = g_list_model_get_item (td_form_get_items (form, at (form, key)), position);

  g_assert_nonnull (found);
  return found; /* its list holds it */
}

/* Untouched, a form gives back what it was made from, in any units. */
static void
test_untouched (gconstpointer data)
{
  g_autoptr (TdForm) form = make (&td_form_site, full, data);
  g_autoptr (TdJson) wanted = td_json_parse (full, -1, NULL);
  g_autoptr (TdJson) json = td_form_check (form, NULL, NULL);

  g_assert_nonnull (json);
  g_assert_false (td_form_is_changed (form));
  g_assert_true (td_json_equal (json, wanted));
}

/* One field is typed anew, the rest stays as it was to the last digit. */
static void
test_one_field (void)
{
  g_autoptr (TdForm) form = make (&td_form_site, full, &us);
  TdForm *line = item (form, "lines", 0);
  TdForm *segment = item (line, "segments", 0);
  g_autoptr (TdJson) json = NULL;
  g_autoptr (TdSite) site = NULL;

  g_assert_cmpstr (td_form_get_text (segment, at (segment, "bore_mm")), ==, "5/16\xc2\xa0in");
  td_form_set_text (segment, at (segment, "length_m"), "40 ft");
  g_assert_true (td_form_is_changed (form));
  json = td_form_check (form, NULL, NULL);
  g_assert_nonnull (json);
  site = td_site_from_json (json, NULL);
  g_assert_cmpfloat_with_epsilon (site->lines[0].segments[0].length_m, 12.192, 1e-9); /* 40 x 0.3048 m */
  g_assert_true (site->lines[0].segments[0].bore_mm == 7.9375);
  g_assert_true (site->lines[0].segments[1].length_m == 1.5);
  g_assert_true (site->coolers[0].height_m == -2.5);
}

typedef struct
{
  const char *name;
  const TdFormType *type;
  const char *json;
  const char *list;  /* of which the first item is meant; NULL: the form itself */
  const char *inner; /* a list of that */
  const char *key, *text;
  const char *wrong; /* key of the field with the error; "" for the form as a whole; NULL where all is well */
  const char *part;  /* of the error, or of the object */
} Case;

#define TECHNICIAN "{\"id\":\"t1\",\"name\":\"Ada Finch\"}"
#define PRODUCT                                                                                                       \
  "{\"id\":\"p\",\"name\":\"Lye\",\"kind\":\"caustic\",\"substance\":\"naoh\",\"basis\":\"w/w\","                     \
  "\"percent_milli\":30000,\"target_percent_milli\":2000}"

static const Case cases[] = {
  { "a date", &td_form_technician, TECHNICIAN, NULL, NULL, "certificate_expiry", "2028-01-31", NULL,
    "\"certificate_expiry\":\"2028-01-31\"" },
  { "a date that is none", &td_form_technician, TECHNICIAN, NULL, NULL, "certificate_expiry", "2027-02-30",
    "certificate_expiry", "2027-02-30" },
  { "a name that is gone", &td_form_technician, TECHNICIAN, NULL, NULL, "name", " ", "name", "needed" },
  { "strength in percent", &td_form_product, PRODUCT, NULL, NULL, "percent_milli", "32.5 %", NULL,
    "\"percent_milli\":32500" },
  { "no strength", &td_form_product, PRODUCT, NULL, NULL, "percent_milli", "strong", "percent_milli", "strong" },
  { "beyond all strength", &td_form_product, PRODUCT, NULL, NULL, "percent_milli", "101", "percent_milli", "100" },
  { "weaker than its use", &td_form_product, PRODUCT, NULL, NULL, "percent_milli", "1", "target_percent_milli",
    "stronger" },
  { "a density of another unit", &td_form_product, PRODUCT, NULL, NULL, "density_kg_m3", "1", "density_kg_m3", "500" },
  { "not whole", &td_form_product, PRODUCT, NULL, NULL, "density_kg_m3", "1.33", "density_kg_m3", "whole" },
  { "a mail address", &td_form_account, "{\"name\":\"A\"}", NULL, NULL, "email", "office", "email", "must be" },
  { "a tower that is not there", &td_form_site, full, "lines", NULL, "tower", "T9", "tower", "T9" },
  { "a line's short name twice", &td_form_site, full, "lines", NULL, "id", "L2", "id", "L2" },
  { "both loss and tube", &td_form_site, full, "lines", NULL, "head_loss_m", "3 m", "segments", "both" },
  { "a length below nothing", &td_form_site, full, "lines", "segments", "length_m", "-3 m", "length_m", "-3" },
  { "a bore that is none", &td_form_site, full, "lines", "segments", "bore_mm", "wide", "bore_mm", "wide" },
  { "a cellar", &td_form_site, full, "coolers", NULL, "height_m", "-3 m", NULL, "\"height_m\":-3" },
  { "a true minus sign", &td_form_site, full, "coolers", NULL, "height_m", "−3 m", NULL, "\"height_m\":-3" },
  { "a language", &td_form_site, full, NULL, NULL, "site.language", "d", "site.language", "language tag" },
  { "a section that empties", &td_form_site, full, NULL, NULL, "site.zone", "", NULL, "\"language\":\"de\"" },
  { "codes", &td_form_product, PRODUCT, NULL, NULL, "hazards", "H290,H314", NULL, "\"hazards\":[\"H290\",\"H314\"]" },
  { "a code that is none", &td_form_product, PRODUCT, NULL, NULL, "hazards", "H290, H999", "hazards", "H999" },
  { "loss of fittings", &td_form_site, full, "lines", "segments", "k", "1.25", NULL, "\"k\":1.25" },
  { "a pump curve that rises", &td_form_site, full, "cleaning_pump.curve", NULL, "head", "1 m", "", "rise" },
};

static void
test_typed (gconstpointer data)
{
  const Case *c = data;
  g_autoptr (TdForm) form = make (c->type, c->json, &metric);
  TdForm *inner = c->list != NULL ? item (form, c->list, 0) : form;
  TdForm *wrong = NULL;
  const char *message;
  int field = -1;
  g_autoptr (TdJson) json = NULL;

  if (c->inner != NULL)
    inner = item (inner, c->inner, 0);
  td_form_set_text (inner, at (inner, c->key), c->text);
  json = td_form_check (form, &wrong, &field);
  if (c->wrong == NULL)
    {
      g_autofree char *text = json != NULL ? td_json_to_text (json, FALSE) : NULL;

      g_assert_nonnull (text);
      if (strstr (text, c->part) == NULL)
        g_error ("%s lacks %s", text, c->part);
      return;
    }
  g_assert_null (json);
  g_assert_nonnull (wrong);
  g_assert_cmpstr (field >= 0 ? td_form_get_form_type (wrong)->fields[field].key : "", ==, c->wrong);
  message = field >= 0 ? td_form_get_error (wrong, (guint) field) : td_form_get_whole_error (wrong);
  if (message == NULL || strstr (message, c->part) == NULL)
    g_error ("“%s” lacks “%s”", message, c->part);
  /* Lists above show that something within is wrong; typing anew takes the error away. */
  for (TdForm *up = wrong; up != NULL; up = td_form_get_parent (up))
    {
      gboolean faulty = FALSE;

      g_object_get (up, "faulty", &faulty, NULL);
      g_assert_true (faulty);
    }
}

static void
test_new_rows (void)
{
  g_autoptr (TdForm) form = make (&td_form_site, NULL, &metric);
  TdForm *cooler, *tower, *line, *second, *segment, *wrong = NULL;
  guint n_presets = 0;
  const TdFormPreset *tubes = td_form_segment.get_presets (&n_presets);
  g_auto (GStrv) ids = NULL, titles = NULL;
  int field = -1;
  g_autoptr (TdJson) json = NULL;

  td_form_set_text (form, at (form, "account.name"), "Weir Taverns");
  td_form_set_text (form, at (form, "site.name"), "The Weir");
  cooler = td_form_add_item (form, at (form, "coolers"));
  tower = td_form_add_item (form, at (form, "towers"));
  td_form_set_text (tower, at (tower, "name"), "Front bar");
  line = td_form_add_item (form, at (form, "lines"));
  second = td_form_add_item (form, at (form, "lines"));
  g_assert_cmpstr (td_form_get_text (line, 0), ==, "L1");
  g_assert_cmpstr (td_form_get_text (second, 0), ==, "L2");
  td_form_remove_item (form, at (form, "lines"), 1);
  g_assert_null (td_form_check (form, &wrong, &field));
  g_assert_true (wrong == line);
  ids = td_form_list_choices (line, at (line, "tower"), &titles);
  g_assert_cmpstr (ids[0], ==, "T1");
  g_assert_cmpstr (titles[0], ==, "Front bar");
  td_form_set_text (line, at (line, "tower"), ids[0]);
  td_form_set_text (line, at (line, "cooler"), td_form_get_text (cooler, 0));
  segment = td_form_add_item (line, at (line, "segments"));
  g_assert_cmpuint (n_presets, >=, 8);
  td_form_apply_preset (segment, &tubes[1]); /* vinyl, 1/4 in inside */
  g_assert_cmpstr (td_form_get_text (segment, at (segment, "material")), ==, "vinyl");
  td_form_set_text (segment, at (segment, "length_m"), "6 m");
  json = td_form_check (form, NULL, NULL);
  g_assert_nonnull (json);
  {
    g_autoptr (TdSite) site = td_site_from_json (json, NULL);

    g_assert_cmpfloat_with_epsilon (site->lines[0].segments[0].bore_mm, 6.35, 1e-9);
  }
}

static void
test_order (void)
{
  g_autoptr (TdForm) form = make (&td_form_site, full, &metric);
  guint lines = at (form, "lines");

  td_form_move_item (form, lines, 0, -1);
  g_assert_false (td_form_is_changed (form));
  td_form_move_item (form, lines, 0, 1);
  g_assert_true (td_form_is_changed (form));
  g_assert_cmpstr (td_form_get_text (item (form, "lines", 0), 0), ==, "L2");
}

/* Volume and loss as one types are those of core for the whole sheet. */
static void
test_figures (void)
{
  g_autoptr (TdForm) form = make (&td_form_site, full, &metric);
  g_autoptr (TdSite) site = td_site_parse (full, -1, NULL);
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, NULL);
  TdForm *line = item (form, "lines", 0);
  TdForm *segment = item (line, "segments", 1);
  g_autofree char *volume = td_quantity_format (TD_QUANTITY_VOLUME, td_leg_model_get_volume_ml (model, 0), &metric);
  g_autofree char *loss
      = td_quantity_format (TD_QUANTITY_LENGTH, (double) td_leg_model_get_loss_um (model, 0) / 1e6, &metric);
  g_autofree char *told = td_form_make_figures (line, NULL);
  g_autofree char *same = td_form_make_figures (segment, NULL);
  g_autofree char *other = NULL, *none = NULL;

  g_assert_nonnull (strstr (told, volume));
  g_assert_nonnull (strstr (told, loss));
  g_assert_nonnull (strstr (told, "3.6\xc2\xa0m")); /* from -2.5 m to 1.1 m */
  g_assert_cmpstr (same, ==, told);
  td_form_set_text (segment, at (segment, "length_m"), "2 m");
  other = td_form_make_figures (line, NULL);
  g_assert_cmpstr (other, !=, told);
  /* While too little is known nothing is told, and nothing is marked as wrong. */
  td_form_set_text (segment, at (segment, "length_m"), "");
  none = td_form_make_figures (line, NULL);
  g_assert_null (none);
  g_assert_null (td_form_get_error (segment, at (segment, "length_m")));
}

static void
test_settings (void)
{
  const TdFormType *type = td_form_get_figures ();
  g_autoptr (TdForm) form = make (type, "{\"acid-interval-months\":4}", &comma);
  guint caustic = at (form, "caustic-interval-days"), weakest = at (form, "caustic-minimum-percent-milli");
  guint n = 0;
  const TdFormPreset *presets = type->get_presets (&n);
  gint64 values[TD_N_SETTINGS];
  gboolean set[TD_N_SETTINGS];
  TdForm *wrong = NULL;
  int field = -1;
  g_autoptr (TdJson) json = NULL, bad = NULL;

  for (guint i = 0; i < n; i++)
    td_form_apply_preset (form, &presets[i]);
  td_form_set_text (form, weakest, "2,5");
  json = td_form_check (form, NULL, NULL);
  g_assert_nonnull (json);
  g_assert_true (td_form_read_figures (json, values, set, NULL));
  g_assert_cmpint (values[TD_SETTING_CAUSTIC_INTERVAL], ==, 21); /* the last preset's */
  g_assert_cmpint (values[TD_SETTING_CAUSTIC_MIN], ==, 2500);
  g_assert_cmpint (values[TD_SETTING_ACID_INTERVAL], ==, 4);
  g_assert_false (set[TD_SETTING_CONTACT_MAX]);
  td_form_set_text (form, caustic, "400");
  bad = td_form_check (form, &wrong, &field);
  g_assert_null (bad);
  g_assert_cmpint (field, ==, (int) caustic);
  g_assert_nonnull (strstr (td_form_get_error (form, caustic), "366"));
}

/* What a form does not show is not lost. */
static void
test_rest (void)
{
  static const TdFormField fields[] = { { .key = "b", .label = "B" } };
  static const char *const titles[] = { "b", NULL };
  static const TdFormType type
      = { .title = "T", .fields = fields, .n_fields = 1, .title_keys = titles, .head = "", .tail = "" };
  g_autoptr (TdForm) form = make (&type, "{\"a\":[1,2],\"b\":\"x\",\"c\":{\"d\":1.50}}", &metric);
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;

  td_form_set_text (form, 0, "y");
  json = td_form_check (form, NULL, NULL);
  text = td_json_to_text (json, FALSE);
  g_assert_cmpstr (text, ==, "{\"b\":\"y\",\"a\":[1,2],\"c\":{\"d\":1.5}}");
}

/* An error of the book that names a key goes to its field. */
static void
test_book_error (void)
{
  g_autoptr (TdForm) form = make (&td_form_site, full, &metric);

  g_assert_true (td_form_take_error (form, "site.zone: the machine knows no “Moon/Base”"));
  g_assert_nonnull (td_form_get_error (form, at (form, "site.zone")));
  g_assert_false (td_form_take_error (form, "somebody else was faster"));
  g_assert_cmpstr (td_form_get_whole_error (form), ==, "somebody else was faster");
}

static void
test_titles (void)
{
  g_autoptr (TdJson) json = td_json_parse (PRODUCT, -1, NULL);
  g_autofree char *title = td_form_type_make_title (&td_form_product, json);
  g_autofree char *summary = td_form_type_make_summary (&td_form_product, json, &metric);

  g_assert_cmpstr (title, ==, "Lye");
  g_assert_cmpstr (summary, ==, "Caustic · 30\xc2\xa0% · w/w: weight in weight");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/form/untouched/metric", &metric, test_untouched);
  g_test_add_data_func ("/form/untouched/us", &us, test_untouched);
  g_test_add_data_func ("/form/untouched/comma", &comma, test_untouched);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/form/typed/%s", cases[i].name);

      g_test_add_data_func (path, &cases[i], test_typed);
    }
  g_test_add_func ("/form/one-field", test_one_field);
  g_test_add_func ("/form/new-rows", test_new_rows);
  g_test_add_func ("/form/order", test_order);
  g_test_add_func ("/form/figures", test_figures);
  g_test_add_func ("/form/settings", test_settings);
  g_test_add_func ("/form/book-error", test_book_error);
  g_test_add_func ("/form/rest", test_rest);
  g_test_add_func ("/form/titles", test_titles);
  return g_test_run ();
}
