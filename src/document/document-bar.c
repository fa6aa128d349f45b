#include "document-bar.h"

#include "document-bar-private.h"
#include "document-i18n.h"

TdPages *
td_bar_to_pages (TdBarPaper what, const TdSite *site, const TdMasters *masters, const TdLanguage *language, TdDate day,
                 TdPaperKind paper, GError **error)
{
  const TdPaper sheet = td_paper_get (paper);
  g_autoptr (TdFonts) fonts = NULL;
  g_autofree char *date = NULL;
  TdFurniture furniture = { .head_left = site->name, .page = td_language_say (language, "Page %u of %u") };
  TdFlow *flow;

  g_return_val_if_fail (site != NULL && language != NULL, NULL);
  fonts = td_fonts_new (td_language_get_tag (language), error);
  if (fonts == NULL)
    return NULL;
  flow = td_flow_new (&sheet, fonts);
  if (what == TD_BAR_LINE_MAP)
    {
      date = day != TD_DATE_NONE ? td_date_to_text (day) : NULL;
      furniture.foot_left = date;
      furniture.head_right = masters != NULL ? masters->company : NULL;
      td_bar_paint_map (flow, site, language);
    }
  else
    td_bar_paint_labels (flow, site, masters, language);
  return td_pages_new (flow, &furniture, error);
}

TdPdfInfo
td_bar_make_info (TdBarPaper what, const TdSite *site, const TdMasters *masters, const TdLanguage *language,
                  gint64 utc_ms, char **title_out)
{
  const char *kind = what == TD_BAR_LINE_MAP ? td_language_say (language, N_ ("Line map"))
                                             : td_language_say (language, N_ ("Tag labels"));

  *title_out = g_strdup_printf ("%s, %s", kind, site->name != NULL ? site->name : "\xe2\x80\x93");
  return (TdPdfInfo){ .title = *title_out,
                      .author = masters != NULL ? masters->company : NULL,
                      .subject = site->name,
                      .language = td_language_get_tag (language),
                      .utc_ms = utc_ms };
}
