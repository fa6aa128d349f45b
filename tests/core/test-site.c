/* Site sheets: what is read, what is refused, and that writing loses nothing. */
#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-site.h"

/* The example of the format's description, made whole. */
static const char full[]
    = "{\"format\": \"tundish-site/1\",\n"
      " \"account\": {\"name\": \"Quay Houses\"},\n"
      " \"site\": {\"name\": \"The Sluice\", \"address\": \"1 Lock Lane\\nWeirham\", \"zone\": "
      "\"Europe/Dublin\", \"language\": \"de\", \"interval_days\": 14},\n"
      " \"coolers\": [{\"id\": \"C1\", \"name\": \"Cold room\", \"height_m\": 0}],\n"
      " \"towers\": [{\"id\": \"T1\", \"name\": \"Front bar\", \"height_m\": 3.2}, {\"id\": \"T2\"}],\n"
      " \"lines\": [{\"id\": \"L1\", \"number\": 1, \"tower\": \"T1\", \"cooler\": \"C1\", \"beer_pump\": "
      "\"one-way\",\n"
      "   \"check_valve\": false, \"fob\": true, \"product\": \"Stout\", \"faucet\": \"standard\", "
      "\"coupler\": \"S\",\n"
      "   \"segments\": [{\"material\": \"barrier\", \"bore_mm\": 9.525, \"length_m\": 30, "
      "\"roughness_mm\": 0.0015, \"k\": 2.0},\n"
      "                {\"bore_mm\": 6.35, \"length_m\": 1.5}],\n"
      "   \"side_faucets\": [{\"id\": \"L1b\", \"number\": 8, \"tower\": \"T2\", \"segments\": []},\n"
      "                    {\"id\": \"L1c\", \"tower\": \"T1\", \"segments\": [{\"bore_mm\": 10, "
      "\"length_m\": 2}]}]},\n"
      "  {\"id\": \"L2\", \"tower\": \"T1\", \"cooler\": \"C1\", \"beer_pump\": \"none\", \"head_loss_m\": "
      "12.5, \"volume_ml\": 2140},\n"
      "  {\"id\": \"L3\", \"number\": 3, \"tower\": \"T2\", \"cooler\": \"C1\", \"beer_pump\": "
      "\"reversible\", \"check_valve\": true, \"head_loss_m\": 0}],\n"
      " \"cleaning_pump\": {\"curve\": [[0, 45], [4, 38], [8, 15]]},\n"
      " \"solution\": {\"substance\": \"koh\", \"percent\": 3, \"temperature_c\": 40},\n"
      " \"limits\": {\"min_flow_l_min\": 3.785, \"max_pressure_kpa\": 300}}\n";

static TdSite *
parse_full (void)
{
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (full, -1, &error);

  g_assert_no_error (error);
  g_assert_nonnull (site);
  return site;
}

static void
test_head (void)
{
  g_autoptr (TdSite) site = parse_full ();

  g_assert_cmpstr (site->account_name, ==, "Quay Houses");
  g_assert_cmpstr (site->name, ==, "The Sluice");
  g_assert_cmpstr (site->address, ==, "1 Lock Lane\nWeirham");
  g_assert_cmpstr (site->zone, ==, "Europe/Dublin");
  g_assert_cmpint (site->interval_days, ==, 14);
  g_assert_cmpuint (site->n_coolers, ==, 1);
  g_assert_cmpuint (site->n_towers, ==, 2);
  g_assert_cmpstr (site->towers[0].name, ==, "Front bar");
  g_assert_cmpfloat (site->towers[0].height_m, ==, 3.2);
  g_assert_cmpstr (site->towers[1].name, ==, "T2");
  g_assert_cmpfloat (site->towers[1].height_m, ==, 0);
  g_assert_cmpuint (site->n_curve, ==, 3);
  g_assert_cmpfloat (site->curve[1].flow_l_min, ==, 4);
  g_assert_cmpfloat (site->curve[1].head_m, ==, 38);
  g_assert_cmpstr (site->substance, ==, "koh");
  g_assert_cmpfloat (site->percent, ==, 3);
  g_assert_cmpfloat (site->temperature_c, ==, 40);
  g_assert_cmpfloat (site->min_flow_l_min, ==, 3.785);
  g_assert_cmpfloat (site->max_pressure_kpa, ==, 300);
}

static void
test_lines (void)
{
  g_autoptr (TdSite) site = parse_full ();
  const TdLine *line = &site->lines[0];

  g_assert_cmpuint (site->n_lines, ==, 3);
  g_assert_cmpint (line->number, ==, 1);
  g_assert_cmpuint (line->tower, ==, 0);
  g_assert_cmpint (line->beer_pump, ==, TD_BEER_PUMP_ONE_WAY);
  g_assert_true (line->fob);
  g_assert_cmpstr (line->product, ==, "Stout");
  g_assert_cmpstr (line->faucet, ==, "standard");
  g_assert_cmpstr (line->coupler, ==, "S");
  g_assert_cmpuint (line->n_segments, ==, 2);
  g_assert_cmpstr (line->segments[0].material, ==, "barrier");
  g_assert_null (line->segments[1].material);
  g_assert_cmpfloat (line->segments[1].roughness_mm, ==, 0.0015);
  g_assert_cmpfloat (line->segments[1].k, ==, 0);
  g_assert_true (isnan (line->head_loss_m));
  g_assert_true (isnan (line->volume_ml));
  g_assert_false (td_line_may_run_in (line));
  g_assert_true (td_line_may_run_in (&site->lines[1]));
  g_assert_false (td_line_may_run_in (&site->lines[2]));
  g_assert_cmpint (site->lines[1].number, ==, 0);
  g_assert_cmpfloat (site->lines[1].head_loss_m, ==, 12.5);
  g_assert_cmpfloat (site->lines[2].head_loss_m, ==, 0);
  g_assert_true (isnan (site->lines[2].volume_ml));
}

static void
test_volumes (void)
{
  g_autoptr (TdSite) site = parse_full ();
  /* pi/4 x 9.525^2 x 30 + pi/4 x 6.35^2 x 1.5; areas 71.2557 and 31.6692 mm2 are pi/4 d^2 of 3/8 and
   * 1/4 in. */
  const double first = 71.2557 * 30 + 31.6692 * 1.5;

  g_assert_cmpfloat_with_epsilon (td_line_get_volume_ml (&site->lines[0]), first, 0.01);
  g_assert_cmpfloat (td_line_get_volume_ml (&site->lines[1]), ==, 2140);
  g_assert_true (isnan (td_line_get_volume_ml (&site->lines[2])));
  g_assert_cmpfloat_with_epsilon (td_outlet_get_volume_ml (site, 0), first, 0.01);
  g_assert_true (isnan (td_outlet_get_volume_ml (site, 1)));
  g_assert_cmpfloat_with_epsilon (td_outlet_get_volume_ml (site, 2), 157.0796, 0.0001);
  g_assert_cmpfloat (td_outlet_get_volume_ml (site, 3), ==, 2140);
}

static void
test_outlets (void)
{
  static const struct
  {
    const char *id;
    int number;
    guint tower;
    guint line;
    int side;
    const char *title;
  } cases[] = {
    { "L1", 1, 0, 0, -1, "Front bar 1" }, { "L1b", 8, 1, 0, 0, "T2 8" }, { "L1c", 0, 0, 0, 1, "L1c" },
    { "L2", 0, 0, 1, -1, "L2" },          { "L3", 3, 1, 2, -1, "T2 3" },
  };
  g_autoptr (TdSite) first = parse_full ();
  g_autoptr (TdSite) site = td_site_ref (first);

  g_assert_cmpuint (site->n_outlets, ==, G_N_ELEMENTS (cases));
  for (guint i = 0; i < site->n_outlets; i++)
    {
      g_autofree char *title = td_outlet_get_title (site, i);

      g_assert_cmpstr (site->outlets[i].id, ==, cases[i].id);
      g_assert_cmpint (site->outlets[i].number, ==, cases[i].number);
      g_assert_cmpuint (site->outlets[i].tower, ==, cases[i].tower);
      g_assert_cmpuint (site->outlets[i].cooler, ==, 0);
      g_assert_cmpuint (site->outlets[i].line, ==, cases[i].line);
      g_assert_cmpint (site->outlets[i].side, ==, cases[i].side);
      g_assert_cmpstr (title, ==, cases[i].title);
      g_assert_cmpint (td_site_find_outlet (site, cases[i].id), ==, (int) i);
      g_assert_cmpint (td_site_find_line (site, cases[i].id), ==,
                       cases[i].side < 0 ? (int) cases[i].line : -1);
    }
  g_assert_cmpint (td_site_find_cooler (site, "C1"), ==, 0);
  g_assert_cmpint (td_site_find_cooler (site, "T1"), ==, -1);
  g_assert_cmpint (td_site_find_tower (site, "T2"), ==, 1);
  g_assert_cmpint (td_site_find_outlet (site, ""), ==, -1);
}

static void
test_least (void)
{
  g_autoptr (GError) error = NULL;
  static const char text[]
      = "{\"format\":\"tundish-site/1\",\"coolers\":[],\"towers\":[],\"lines\":[]}";
  g_autoptr (TdSite) site = td_site_parse (text, -1, &error);
  g_autoptr (TdJson) json = NULL;
  g_autofree char *again = NULL;

  g_assert_no_error (error);
  g_assert_null (site->account_name);
  g_assert_null (site->name);
  g_assert_null (site->address);
  g_assert_cmpstr (site->zone, ==, "UTC");
  g_assert_cmpint (site->interval_days, ==, 0);
  g_assert_cmpuint (site->n_outlets, ==, 0);
  g_assert_cmpuint (site->n_curve, ==, 0);
  g_assert_cmpstr (site->substance, ==, "naoh");
  g_assert_cmpfloat (site->percent, ==, 2);
  g_assert_cmpfloat (site->temperature_c, ==, 40);
  g_assert_cmpfloat (site->min_flow_l_min, ==, 3.785);
  g_assert_cmpfloat (site->max_pressure_kpa, ==, 414);
  json = td_site_to_json (site);
  again = td_json_to_text (json, FALSE);
  g_assert_cmpstr (again, ==, text);
}

static void
test_writes (void)
{
  g_autoptr (TdSite) site = parse_full ();
  g_autoptr (TdJson) json = td_site_to_json (site);
  g_autofree char *text = td_json_to_text (json, FALSE);

  g_assert_cmpstr (
      text, ==,
      "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"Quay Houses\"},\"site\":{\"name\":\"The "
      "Sluice\",\"address\":\"1 Lock Lane\\nWeirham\",\"zone\":\"Europe/Dublin\",\"language\":\"de\",\"interval_days\":14},"
      "\"coolers\":[{\"id\":\"C1\",\"name\":\"Cold room\"}],\"towers\":[{\"id\":\"T1\",\"name\":\"Front "
      "bar\",\"height_m\":3.2},{\"id\":\"T2\"}],\"lines\":[{\"id\":\"L1\",\"number\":1,\"tower\":\"T1\","
      "\"cooler\":\"C1\",\"beer_pump\":\"one-way\",\"fob\":true,\"product\":\"Stout\",\"faucet\":"
      "\"standard\",\"coupler\":\"S\",\"segments\":[{\"material\":\"barrier\",\"bore_mm\":9.525,"
      "\"length_m\":30,\"k\":2},{\"bore_mm\":6.35,\"length_m\":1.5}],\"side_faucets\":[{\"id\":\"L1b\","
      "\"number\":8,\"tower\":\"T2\"},{\"id\":\"L1c\",\"tower\":\"T1\",\"segments\":[{\"bore_mm\":10,"
      "\"length_m\":2}]}]},{\"id\":\"L2\",\"tower\":\"T1\",\"cooler\":\"C1\",\"head_loss_m\":12.5,"
      "\"volume_ml\":2140},{\"id\":\"L3\",\"number\":3,\"tower\":\"T2\",\"cooler\":\"C1\",\"beer_pump\":"
      "\"reversible\",\"check_valve\":true,\"head_loss_m\":0}],\"cleaning_pump\":{\"curve\":[[0,45],[4,38],"
      "[8,15]]},\"solution\":{\"substance\":\"koh\",\"percent\":3},\"limits\":{\"max_pressure_kpa\":300}}");
}

/* One change to the full sheet each: the text to be replaced, what stands for it, the error. */
static const struct
{
  const char *was;
  const char *is;
  int code;
  const char *message;
} spoiled[] = {
  { "tundish-site/1", "tundish-site/2", TD_ERROR_SHAPE, "another version of the format" },
  { "\"de\"", "\"d\"", TD_ERROR_SHAPE, "\"language\" must be a language tag" },
  { "\"de\"", "\"deutsch land\"", TD_ERROR_SHAPE, "\"language\" must be a language tag" },
  { "\"de\"", "\"de-\"", TD_ERROR_SHAPE, "\"language\" must be a language tag" },
  { "\"coolers\"", "\"Coolers\"", TD_ERROR_SHAPE, "line 4, column 2: unknown key \"Coolers\"" },
  { "\"fob\": true", "\"fobs\": true", TD_ERROR_SHAPE,
    "line 7, column 26: unknown key \"fobs\" in a line; the keys it may have are: beer_pump, check_valve" },
  { "\"material\"", "\"matter\"", TD_ERROR_SHAPE, "unknown key \"matter\" in a segment" },
  { "\"fob\": true", "\"fob\": 1", TD_ERROR_SHAPE, "\"fob\" must be true or false" },
  { "\"one-way\"", "\"oneway\"", TD_ERROR_SHAPE,
    "line 6, column 82: \"beer_pump\" is \"oneway\", but must be one of: none, one-way, reversible" },
  { "\"number\": 1", "\"number\": 1.5", TD_ERROR_SHAPE, "\"number\" must be a whole number" },
  { "\"number\": 1", "\"number\": -1", TD_ERROR_RANGE, "\"number\" is -1" },
  { "\"tower\": \"T1\"", "\"tower\": \"T9\"", TD_ERROR_REFERENCE,
    "there is no tower \"T9\"; enter it under \"towers\"" },
  { "\"cooler\": \"C1\"", "\"cooler\": \"T1\"", TD_ERROR_REFERENCE, "there is no cooler \"T1\"" },
  { "{\"id\": \"T2\"}", "{\"id\": \"T1\"}", TD_ERROR_SHAPE, "the id \"T1\" is given to two towers" },
  { "\"id\": \"L2\"", "\"id\": \"L1\"", TD_ERROR_SHAPE,
    "line 12, column 10: the id \"L1\" is given to two lines or side faucets" },
  { "\"id\": \"L2\"", "\"id\": \"L1b\"", TD_ERROR_SHAPE, "the id \"L1b\" is given to two" },
  { "\"id\": \"L1b\"", "\"id\": \"L1\"", TD_ERROR_SHAPE, "the id \"L1\" is given to two" },
  { "\"id\": \"L2\"", "\"id\": \" L2\"", TD_ERROR_SHAPE, "\" L2\" cannot be an identifier" },
  { "\"id\": \"L2\"", "\"id\": \"\"", TD_ERROR_SHAPE, "\"id\" is empty" },
  { "\"id\": \"L2\"", "\"id\": \"L\\n2\"", TD_ERROR_SHAPE, "cannot be an identifier" },
  { "\"id\": \"L2\", ", "", TD_ERROR_SHAPE, "a line lacks the key \"id\"" },
  { "\"name\": \"Quay Houses\"", "", TD_ERROR_SHAPE, "an account lacks the key \"name\"" },
  { "\"interval_days\": 14", "\"interval_days\": 0", TD_ERROR_RANGE, "\"interval_days\" is 0" },
  { "\"bore_mm\": 9.525", "\"bore_mm\": 0", TD_ERROR_RANGE, "\"bore_mm\" is 0, but must be greater than 0" },
  { "\"bore_mm\": 9.525", "\"bore_in\": 0.375", TD_ERROR_SHAPE, "unknown key \"bore_in\" in a segment" },
  { "\"length_m\": 30", "\"length_m\": -30", TD_ERROR_RANGE, "\"length_m\" is -30" },
  { "\"length_m\": 30", "\"length_m\": \"30\"", TD_ERROR_SHAPE, "\"length_m\" must be a number, not a text" },
  { "\"k\": 2.0", "\"k\": -1", TD_ERROR_RANGE, "\"k\" is -1" },
  { "\"head_loss_m\": 12.5, \"volume_ml\": 2140", "\"volume_ml\": 2140", TD_ERROR_SHAPE,
    "line \"L2\" has neither \"segments\" nor \"head_loss_m\"" },
  { "\"head_loss_m\": 12.5, \"volume_ml\": 2140", "\"segments\": []", TD_ERROR_SHAPE, "has neither" },
  { "\"head_loss_m\": 12.5, ", "\"segments\": [{\"bore_mm\": 6, \"length_m\": 3}], ", TD_ERROR_SHAPE,
    "line \"L2\" has both \"segments\" and \"volume_ml\"" },
  { "\"volume_ml\": 2140", "\"segments\": [{\"bore_mm\": 6, \"length_m\": 3}]", TD_ERROR_SHAPE,
    "line 12, column 3: line \"L2\" has both \"segments\" and \"head_loss_m\"; keep one of them" },
  { "\"head_loss_m\": 12.5", "\"head_loss_m\": -1", TD_ERROR_RANGE, "\"head_loss_m\" is -1" },
  { "\"volume_ml\": 2140", "\"volume_ml\": 0", TD_ERROR_RANGE, "\"volume_ml\" is 0" },
  { "[4, 38]", "[4, 38, 1]", TD_ERROR_SHAPE, "a point of a curve must be two numbers" },
  { "[4, 38]", "[4, \"38\"]", TD_ERROR_SHAPE, "a point of a curve must be two numbers" },
  { "[4, 38]", "4", TD_ERROR_SHAPE, "a point of a curve must be two numbers" },
  { "[4, 38]", "[9, 38]", TD_ERROR_RANGE, "the flows of a curve must rise" },
  { "[4, 38]", "[0, 38]", TD_ERROR_RANGE, "line 14, column 39: the flows of a curve must rise" },
  { "[4, 38]", "[4, 46]", TD_ERROR_RANGE, "the heads of a curve must not rise" },
  { "[4, 38]", "[4, 45]", TD_ERROR_RANGE, "the heads of three points from zero flow on must fall" },
  { "[0, 45]", "[0, 0]", TD_ERROR_RANGE, "the head of the first point must be above 0" },
  { "[8, 15]", "[8, -1]", TD_ERROR_RANGE, "a head must be from 0" },
  { "[0, 45]", "[-1, 45]", TD_ERROR_RANGE, "a flow must be from 0" },
  { "[[0, 45], [4, 38], [8, 15]]", "[[0, 45]]", TD_ERROR_SHAPE, "a curve needs two points or more" },
  { "\"curve\"", "\"curves\"", TD_ERROR_SHAPE, "unknown key \"curves\" in a cleaning pump" },
  { "\"koh\"", "\"lye\"", TD_ERROR_SHAPE, "must be one of: naoh, koh, h3po4, water" },
  { "\"percent\": 3", "\"percent\": 101", TD_ERROR_RANGE, "\"percent\" is 101, but must be from 0 to 100" },
  { "\"temperature_c\": 40", "\"temperature_c\": 140", TD_ERROR_RANGE, "\"temperature_c\" is 140" },
  { "\"min_flow_l_min\": 3.785", "\"min_flow_l_min\": 0", TD_ERROR_RANGE, "\"min_flow_l_min\" is 0" },
  { "\"max_pressure_kpa\": 300", "\"max_pressure_psi\": 60", TD_ERROR_SHAPE,
    "unknown key \"max_pressure_psi\" in limits; the keys it may have are: max_pressure_kpa, "
    "min_flow_l_min" },
  { "\"solution\": {", "\"solution\": null, \"x\": {", TD_ERROR_SHAPE, "leave the key out instead" },
  { "\"koh\"", "koh", TD_ERROR_PARSE, "line 15, column 28: expected a value" },
};

static void
test_spoiled (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spoiled); i++)
    {
      const char *place = strstr (full, spoiled[i].was);
      g_autoptr (GString) text = g_string_new (NULL);
      g_autoptr (GError) error = NULL;

      g_assert_nonnull (place);
      g_string_append_len (text, full, place - full);
      g_string_append (text, spoiled[i].is);
      g_string_append (text, place + strlen (spoiled[i].was));
      g_assert_null (td_site_parse (text->str, -1, &error));
      g_assert_error (error, TD_ERROR, spoiled[i].code);
      g_assert_true (g_str_has_prefix (error->message, "line "));
      if (strstr (error->message, spoiled[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, spoiled[i].message);
    }
}

/* The ways in which a curve may be level: any number of points but the power law's three. */
static void
test_level_curve (void)
{
  static const char *const curves[] = { "[[0,9],[1,9]]", "[[0,9],[1,9],[2,9],[3,1]]", "[[1,9],[2,9],[3,9]]",
                                        "[[0,9],[1,5],[2,0]]" };

  for (gsize i = 0; i < G_N_ELEMENTS (curves); i++)
    {
      g_autofree char *text
          = g_strdup_printf ("{\"format\":\"tundish-site/1\",\"coolers\":[],\"towers\":[],\"lines\":[],"
                             "\"cleaning_pump\":{\"curve\":%s}}",
                             curves[i]);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdSite) site = td_site_parse (text, -1, &error);
      g_autoptr (TdJson) json = NULL;
      g_autofree char *again = NULL;

      g_assert_no_error (error);
      json = td_site_to_json (site);
      again = td_json_to_text (json, FALSE);
      g_assert_cmpstr (again, ==, text);
    }
}

/* A number as a sheet may hold it: of few digits, or with all that a double has. */
static double
random_number (GRand *random, double low, double high)
{
  double value = g_rand_double_range (random, low, high);

  return g_rand_boolean (random) ? value : (double) (int) value + 1;
}

static void
build_segments (TdJsonBuilder *builder, GRand *random, gint32 n)
{
  td_json_builder_key (builder, "segments");
  td_json_builder_begin_array (builder);
  for (; n > 0; n--)
    {
      td_json_builder_begin_object (builder);
      td_json_builder_member_real (builder, "length_m", random_number (random, 0.01, 90), -1);
      td_json_builder_member_real (builder, "bore_mm", random_number (random, 3, 20), -1);
      if (g_rand_boolean (random))
        td_json_builder_member_string (builder, "material", "vinyl \xE2\x80\x9C" "clear\xE2\x80\x9D");
      if (g_rand_boolean (random))
        td_json_builder_member_real (builder, "k", g_rand_int_range (random, 0, 3), -1);
      if (g_rand_boolean (random))
        td_json_builder_member_real (builder, "roughness_mm", 0.0015, -1);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
build_line (TdJsonBuilder *builder, GRand *random, int number)
{
  static const char *const pumps[] = { "none", "one-way", "reversible" };
  char id[16];

  td_json_builder_begin_object (builder);
  g_snprintf (id, sizeof id, "L%d", number);
  td_json_builder_member_string (builder, "id", id);
  td_json_builder_member_string (builder, "cooler", g_rand_boolean (random) ? "C0" : "C1");
  td_json_builder_member_string (builder, "tower", g_rand_boolean (random) ? "T0" : "T1");
  td_json_builder_member_integer (builder, "number", number % 3 ? number : 0);
  td_json_builder_member_boolean (builder, "fob", g_rand_boolean (random));
  td_json_builder_member_boolean (builder, "check_valve", g_rand_boolean (random));
  td_json_builder_member_string (builder, "beer_pump", pumps[g_rand_int_range (random, 0, 3)]);
  if (g_rand_boolean (random))
    build_segments (builder, random, g_rand_int_range (random, 1, 4));
  else
    td_json_builder_member_real (builder, "head_loss_m", random_number (random, 0, 50), -1);
  if (g_rand_boolean (random))
    {
      g_snprintf (id, sizeof id, "L%db", number);
      td_json_builder_key (builder, "side_faucets");
      td_json_builder_begin_array (builder);
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", id);
      td_json_builder_member_string (builder, "tower", "T1");
      build_segments (builder, random, g_rand_int_range (random, 0, 2));
      td_json_builder_end (builder);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static TdJson *
build_sheet (GRand *random)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) coolers = td_json_parse ("[{\"id\":\"C0\",\"height_m\":-2.25},{\"id\":\"C1\"}]", -1, NULL);
  g_autoptr (TdJson) towers = td_json_parse ("[{\"id\":\"T0\",\"name\":\"T0\"},{\"id\":\"T1\"}]", -1, NULL);

  td_json_builder_begin_object (builder);
  td_json_builder_member_value (builder, "towers", towers);
  td_json_builder_member_value (builder, "coolers", coolers);
  td_json_builder_key (builder, "lines");
  td_json_builder_begin_array (builder);
  for (int i = g_rand_int_range (random, 0, 9); i > 0; i--)
    build_line (builder, random, i);
  td_json_builder_end (builder);
  td_json_builder_member_string (builder, "format", TD_SITE_FORMAT);
  td_json_builder_key (builder, "limits");
  td_json_builder_begin_object (builder);
  td_json_builder_member_real (builder, "min_flow_l_min", random_number (random, 0.1, 9), -1);
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

/* Whatever order and defaults a sheet spells out: written once, it reads back as the same site and
 * writes the same text. */
static void
test_fixpoint (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (1516);

  for (int i = 0; i < 300; i++)
    {
      g_autoptr (TdJson) sheet = build_sheet (random);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdSite) site = td_site_from_json (sheet, &error);
      g_autoptr (TdSite) again = NULL;
      g_autoptr (TdJson) first = NULL;
      g_autoptr (TdJson) second = NULL;
      g_autofree char *first_text = NULL;
      g_autofree char *second_text = NULL;

      g_assert_no_error (error);
      first = td_site_to_json (site);
      first_text = td_json_to_text (first, TRUE);
      again = td_site_parse (first_text, -1, &error);
      g_assert_no_error (error);
      second = td_site_to_json (again);
      second_text = td_json_to_text (second, TRUE);
      g_assert_cmpstr (first_text, ==, second_text);
      g_assert_cmpuint (site->n_outlets, ==, again->n_outlets);
      for (guint j = 0; j < site->n_outlets; j++)
        {
          double volume = td_outlet_get_volume_ml (site, j);

          g_assert_cmpstr (site->outlets[j].id, ==, again->outlets[j].id);
          g_assert_true (isnan (volume) || volume == td_outlet_get_volume_ml (again, j));
        }
      for (guint j = 0; j < site->n_lines; j++)
        g_assert_cmpint (td_line_may_run_in (&site->lines[j]), ==,
                         td_line_may_run_in (&again->lines[j]));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/site/head", test_head);
  g_test_add_func ("/site/lines", test_lines);
  g_test_add_func ("/site/volumes", test_volumes);
  g_test_add_func ("/site/outlets", test_outlets);
  g_test_add_func ("/site/least", test_least);
  g_test_add_func ("/site/writes", test_writes);
  g_test_add_func ("/site/spoiled", test_spoiled);
  g_test_add_func ("/site/level-curve", test_level_curve);
  g_test_add_func ("/site/fixpoint", test_fixpoint);
  return g_test_run ();
}
