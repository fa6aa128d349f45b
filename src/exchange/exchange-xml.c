#include "exchange-xml.h"

#include <string.h>

#define INDENT 2

struct _TdXml
{
  GString *text;
  GPtrArray *open; /* names, borrowed */
};

TdXml *
td_xml_new (void)
{
  TdXml *xml = g_new0 (TdXml, 1);

  xml->text = g_string_new ("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
  xml->open = g_ptr_array_new ();
  return xml;
}

void
td_xml_free (TdXml *xml)
{
  g_return_if_fail (xml != NULL);
  g_string_free (xml->text, TRUE);
  g_ptr_array_unref (xml->open);
  g_free (xml);
}

/* XML 1.0, section 2.2: tab, line feed, carriage return, and from space on all but surrogates and U+FFFE,
 * U+FFFF.  A reader would turn a bare carriage return into a line feed, and within an attribute both and
 * tabs into spaces, so these are written as references. */
static void
append_escaped (GString *out, const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);

  for (const char *p = valid; *p != '\0'; p = g_utf8_next_char (p))
    {
      gunichar c = g_utf8_get_char (p);

      if (c == '<')
        g_string_append (out, "&lt;");
      else if (c == '>')
        g_string_append (out, "&gt;");
      else if (c == '&')
        g_string_append (out, "&amp;");
      else if (c == '"')
        g_string_append (out, "&quot;");
      else if (c == '\r' || c == '\n' || c == '\t')
        g_string_append_printf (out, "&#%u;", c);
      else if (c < ' ')
        g_string_append_c (out, ' ');
      else if (c == 0xfffe || c == 0xffff)
        g_string_append_unichar (out, 0xfffd);
      else
        g_string_append_unichar (out, c);
    }
}

static void
append_indent (TdXml *xml)
{
  for (guint i = 0; i < xml->open->len * INDENT; i++)
    g_string_append_c (xml->text, ' ');
}

static void
append_attribute (TdXml *xml, const char *name, const char *value)
{
  g_string_append_printf (xml->text, " %s=\"", name);
  append_escaped (xml->text, value);
  g_string_append_c (xml->text, '"');
}

void
td_xml_open (TdXml *xml, const char *name, const char *const *attributes)
{
  g_return_if_fail (xml != NULL && name != NULL);
  append_indent (xml);
  g_string_append_printf (xml->text, "<%s", name);
  for (gsize i = 0; attributes != NULL && attributes[i] != NULL; i += 2)
    append_attribute (xml, attributes[i], attributes[i + 1]);
  g_string_append (xml->text, ">\n");
  g_ptr_array_add (xml->open, (gpointer) name);
}

void
td_xml_close (TdXml *xml)
{
  const char *name;

  g_return_if_fail (xml != NULL && xml->open->len > 0);
  name = g_ptr_array_steal_index (xml->open, xml->open->len - 1);
  append_indent (xml);
  g_string_append_printf (xml->text, "</%s>\n", name);
}

static gboolean
is_blank (const char *text)
{
  return text == NULL || text[strspn (text, " \t\r\n")] == '\0';
}

void
td_xml_text_with (TdXml *xml, const char *name, const char *attribute, const char *value, const char *text)
{
  g_return_if_fail (xml != NULL && name != NULL);
  if (is_blank (text))
    return;
  append_indent (xml);
  g_string_append_printf (xml->text, "<%s", name);
  if (attribute != NULL)
    append_attribute (xml, attribute, value);
  g_string_append_c (xml->text, '>');
  append_escaped (xml->text, text);
  g_string_append_printf (xml->text, "</%s>\n", name);
}

void
td_xml_text (TdXml *xml, const char *name, const char *text)
{
  td_xml_text_with (xml, name, NULL, NULL, text);
}

char *
td_xml_finish (TdXml *xml)
{
  g_return_val_if_fail (xml != NULL && xml->open->len == 0, NULL);
  return g_strdup (xml->text->str);
}
