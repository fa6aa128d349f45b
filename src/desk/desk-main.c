/* tundish: the window. */
#include "desk-application.h"
#include "desk-i18n.h"

#include <locale.h>

int
main (int argc, char **argv)
{
  g_autoptr (TdApplication) application = NULL;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, TD_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  application = td_application_new (G_APPLICATION_DEFAULT_FLAGS);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
