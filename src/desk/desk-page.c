#include "desk-page.h"

#define READABLE (G_PARAM_READABLE | G_PARAM_STATIC_STRINGS)

void
td_page_make_title_properties (GParamSpec **title_out, GParamSpec **subtitle_out)
{
  *title_out = g_param_spec_string ("title", NULL, NULL, NULL, READABLE);
  *subtitle_out = g_param_spec_string ("subtitle", NULL, NULL, NULL, READABLE);
}

GParamSpec *
td_page_make_loaded_property (void)
{
  return g_param_spec_boolean ("loaded", NULL, NULL, FALSE, READABLE);
}
