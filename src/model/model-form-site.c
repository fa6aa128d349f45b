/* The forms of a site sheet: the site, its places, lines, tubes and cleaning pump. */
#include "model-form-type.h"

#include "core-site.h"
#include "core-tubing.h"
#include "model-i18n.h"

#include <math.h>

#define FIELDS(array) .fields = (array), .n_fields = G_N_ELEMENTS (array)

static const char *const place_titles[] = { "name", "id", NULL };
static const char *const height_summary[] = { "height_m", NULL };

static const TdFormField cooler_fields[] = {
  { .key = "id", .label = N_ ("Short name"), .kind = TD_FORM_ID, .required = TRUE,
    .hint = N_ ("Lines name it; it stays once it is kept.") },
  { .key = "name", .label = N_ ("Name") },
  { .key = "height_m", .label = N_ ("Height of the kegs"), .kind = TD_FORM_QUANTITY, .is_signed = TRUE,
    .quantity = TD_QUANTITY_LENGTH, .hint = N_ ("Above the site's own zero; a cellar is below it.") },
};

const TdFormType td_form_cooler = {
  .title = N_ ("Cold room"), .plural = N_ ("Cold rooms"), .new_title = N_ ("Add a cold room"), .prefix = "C",
  FIELDS (cooler_fields), .title_keys = place_titles, .summary_keys = height_summary,
};

static const TdFormField tower_fields[] = {
  { .key = "id", .label = N_ ("Short name"), .kind = TD_FORM_ID, .required = TRUE,
    .hint = N_ ("Lines name it; it stays once it is kept.") },
  { .key = "name", .label = N_ ("Name") },
  { .key = "height_m", .label = N_ ("Height of the faucets"), .kind = TD_FORM_QUANTITY, .is_signed = TRUE,
    .quantity = TD_QUANTITY_LENGTH, .hint = N_ ("Above the same zero as the cold rooms.") },
};

const TdFormType td_form_tower = {
  .title = N_ ("Tower"), .plural = N_ ("Towers"), .new_title = N_ ("Add a tower"), .prefix = "T",
  FIELDS (tower_fields), .title_keys = place_titles, .summary_keys = height_summary,
};

static const TdFormField segment_fields[] = {
  { .key = "material", .label = N_ ("Material"), .hint = N_ ("vinyl, barrier, stainless or another") },
  { .key = "bore_mm", .label = N_ ("Inside diameter"), .kind = TD_FORM_QUANTITY, .required = TRUE,
    .quantity = TD_QUANTITY_BORE },
  { .key = "length_m", .label = N_ ("Length"), .kind = TD_FORM_QUANTITY, .required = TRUE,
    .quantity = TD_QUANTITY_LENGTH },
  { .key = "roughness_mm", .label = N_ ("Roughness"), .kind = TD_FORM_QUANTITY, .quantity = TD_N_QUANTITIES,
    .unit = "mm", .hint = N_ ("Empty for drawn plastic tube, 0.0015 mm.") },
  { .key = "k", .label = N_ ("Loss of its fittings"), .kind = TD_FORM_QUANTITY, .quantity = TD_N_QUANTITIES,
    .unit = "K", .hint = N_ ("Sum of the loss coefficients; empty for none.") },
};

/* Tubes whose inside diameter is known; sizes sold by the outside are typed by hand. */
static const TdFormPreset *
get_tubes (guint *n_out)
{
  static TdFormPreset *presets;
  static guint n;

  if (g_once_init_enter (&presets))
    {
      guint n_tubes = 0;
      const TdTube *tubes = td_tubing_get_table (&n_tubes);
      TdFormPreset *made = g_new0 (TdFormPreset, n_tubes);

      for (guint i = 0; i < n_tubes; i++)
        {
          char bore[G_ASCII_DTOSTR_BUF_SIZE];

          if (isnan (tubes[i].bore_mm))
            continue;
          made[n].label = g_strdup_printf ("%s %s", tubes[i].material, tubes[i].size);
          made[n].values = g_strdup_printf ("{\"material\": \"%s\", \"bore_mm\": %s}", tubes[i].material,
                                            g_ascii_dtostr (bore, sizeof bore, tubes[i].bore_mm));
          n++;
        }
      g_once_init_leave (&presets, made);
    }
  *n_out = n;
  return presets;
}

static const char *const segment_titles[] = { "material", NULL };
static const char *const segment_summary[] = { "bore_mm", "length_m", NULL };

const TdFormType td_form_segment = {
  .title = N_ ("Piece of tube"), .plural = N_ ("Tube, from the keg to the faucet"),
  .new_title = N_ ("Add a piece of tube"), FIELDS (segment_fields), .title_keys = segment_titles, .summary_keys = segment_summary,
  .presets_label = N_ ("Usual tube"), .get_presets = get_tubes,
};

static const TdFormField side_fields[] = {
  { .key = "id", .label = N_ ("Short name"), .kind = TD_FORM_ID, .required = TRUE,
    .hint = N_ ("No line may have the same; it stays once it is kept.") },
  { .key = "number", .label = N_ ("Number on the faucet"), .kind = TD_FORM_WHOLE },
  { .key = "tower", .label = N_ ("Tower"), .kind = TD_FORM_REFERENCE, .required = TRUE, .refers = "towers" },
  { .key = "segments", .label = N_ ("Tube from the tee on"), .kind = TD_FORM_ITEMS, .items = &td_form_segment },
};

static const char *const side_titles[] = { "id", NULL };
static const char *const side_summary[] = { "tower", "number", NULL };

const TdFormType td_form_side_faucet = {
  .title = N_ ("Side faucet"), .plural = N_ ("Side faucets of the split line"),
  .new_title = N_ ("Split: add a side faucet"), .prefix = "S", FIELDS (side_fields), .title_keys = side_titles, .summary_keys = side_summary,
};

static const char *const pump_codes[] = { "none", "one-way", "reversible", NULL };
static const char *const pump_words[] = { N_ ("None"), N_ ("One way only"), N_ ("Reversible"), NULL };

static const TdFormField line_fields[] = {
  { .key = "id", .label = N_ ("Short name"), .kind = TD_FORM_ID, .required = TRUE,
    .hint = N_ ("The record names it; it stays once it is kept.") },
  { .key = "number", .label = N_ ("Number on the faucet"), .kind = TD_FORM_WHOLE },
  { .key = "tower", .label = N_ ("Tower"), .kind = TD_FORM_REFERENCE, .required = TRUE, .refers = "towers" },
  { .key = "cooler", .label = N_ ("Cold room"), .kind = TD_FORM_REFERENCE, .required = TRUE, .refers = "coolers" },
  { .key = "beer_pump", .label = N_ ("Beer pump"), .kind = TD_FORM_CHOICE, .codes = pump_codes, .words = pump_words },
  { .key = "check_valve", .label = N_ ("Fixed check valve"), .kind = TD_FORM_SWITCH,
    .hint = N_ ("Liquid passes outwards only.") },
  { .key = "fob", .label = N_ ("FOB (foam on beer detector)"), .kind = TD_FORM_SWITCH },
  { .key = "product", .label = N_ ("Beer") },
  { .key = "faucet", .label = N_ ("Faucet") },
  { .key = "coupler", .label = N_ ("Coupler") },
  { .key = "segments", .label = N_ ("Tube, from the keg to the faucet"), .kind = TD_FORM_ITEMS,
    .items = &td_form_segment },
  { .key = "head_loss_m", .label = N_ ("Known loss of the whole line"), .kind = TD_FORM_QUANTITY,
    .quantity = TD_QUANTITY_LENGTH,
    .hint = N_ ("Head at the least flow; only where the tube is not known piece by piece.") },
  { .key = "volume_ml", .label = N_ ("Known volume"), .kind = TD_FORM_QUANTITY, .quantity = TD_QUANTITY_VOLUME,
    .hint = N_ ("Only together with a known loss.") },
  { .key = "side_faucets", .label = N_ ("Side faucets of the split line"), .kind = TD_FORM_ITEMS,
    .items = &td_form_side_faucet },
};

static const char *const line_titles[] = { "id", NULL };
static const char *const line_summary[] = { "product", "tower", "number", NULL };

const TdFormType td_form_line = {
  .title = N_ ("Line"), .plural = N_ ("Lines"), .new_title = N_ ("Add a line"), .prefix = "L", FIELDS (line_fields),
  .title_keys = line_titles, .summary_keys = line_summary,
};

static const TdFormField point_fields[] = {
  { .key = "flow", .label = N_ ("Flow"), .kind = TD_FORM_QUANTITY, .required = TRUE, .quantity = TD_QUANTITY_FLOW },
  { .key = "head", .label = N_ ("Head"), .kind = TD_FORM_QUANTITY, .required = TRUE, .quantity = TD_QUANTITY_LENGTH },
};

static const char *const point_titles[] = { "flow", NULL };
static const char *const point_summary[] = { "head", NULL };

const TdFormType td_form_curve_point = {
  .title = N_ ("Point of the curve"), .plural = N_ ("Curve of the cleaning pump"),
  .new_title = N_ ("Add a point of the curve"), FIELDS (point_fields), .title_keys = point_titles, .summary_keys = point_summary, .as_array = TRUE,
};

static const char *const site_substance_codes[] = { "naoh", "koh", "h3po4", "water", NULL };
static const char *const site_substance_words[]
  = { N_ ("Sodium hydroxide"), N_ ("Potassium hydroxide"), N_ ("Phosphoric acid"), N_ ("Water"), NULL };

static const TdFormField site_fields[] = {
  { .key = "account.name", .label = N_ ("Account"), .kind = TD_FORM_REFERENCE, .required = TRUE,
    .refers = "accounts" },
  { .key = "site.name", .label = N_ ("Name"), .required = TRUE },
  { .key = "site.address", .label = N_ ("Address"), .kind = TD_FORM_PROSE },
  { .key = "site.zone", .label = N_ ("Time zone"), .hint = N_ ("Such as Europe/Dublin; empty for UTC.") },
  { .key = "site.language", .label = N_ ("Language of the staff"),
    .hint = N_ ("Of tags and line maps, such as de or pt-BR; empty for that of the program.") },
  { .key = "site.interval_days", .label = N_ ("Days between cleans"), .kind = TD_FORM_WHOLE,
    .hint = N_ ("Empty: the company's figure holds.") },
  { .key = "coolers", .label = N_ ("Cold rooms"), .kind = TD_FORM_ITEMS, .required = TRUE, .items = &td_form_cooler },
  { .key = "towers", .label = N_ ("Towers"), .kind = TD_FORM_ITEMS, .required = TRUE, .items = &td_form_tower },
  { .key = "lines", .label = N_ ("Lines"), .kind = TD_FORM_ITEMS, .required = TRUE, .items = &td_form_line },
  { .key = "cleaning_pump.curve", .label = N_ ("Curve of the cleaning pump"), .kind = TD_FORM_ITEMS,
    .items = &td_form_curve_point, .hint = N_ ("None: that of the usual pump. Otherwise two points or more.") },
  { .key = "solution.substance", .label = N_ ("Planned with"), .kind = TD_FORM_CHOICE, .codes = site_substance_codes,
    .words = site_substance_words },
  { .key = "solution.percent", .label = N_ ("At a strength of"), .kind = TD_FORM_QUANTITY,
    .quantity = TD_QUANTITY_PERCENT, .hint = N_ ("Empty for 2 %.") },
  { .key = "solution.temperature_c", .label = N_ ("And a temperature of"), .kind = TD_FORM_QUANTITY,
    .quantity = TD_QUANTITY_TEMPERATURE },
  { .key = "limits.min_flow_l_min", .label = N_ ("Least flow"), .kind = TD_FORM_QUANTITY,
    .quantity = TD_QUANTITY_FLOW },
  { .key = "limits.max_pressure_kpa", .label = N_ ("Greatest pressure"), .kind = TD_FORM_QUANTITY,
    .quantity = TD_QUANTITY_PRESSURE },
};

static gboolean
check_site (const TdJson *file, GError **error)
{
  g_autoptr (TdSite) site = td_site_from_json (file, error);

  return site != NULL;
}

static const char *const site_titles[] = { "site.name", NULL };
static const char *const site_summary[] = { "account.name", "site.address", NULL };

const TdFormType td_form_site = {
  .title = N_ ("Site"), .plural = N_ ("Sites"), .new_title = N_ ("New site"), FIELDS (site_fields), .title_keys = site_titles,
  .summary_keys = site_summary, .head = "", .tail = "", .check = check_site,
};
