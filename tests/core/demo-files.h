/* The invented company and sites of data/demo, read for tests. */
#pragma once

#include "core-masters.h"
#include "core-site.h"

/* Returns: (transfer full): the text of a file below the source tree. */
static inline char *
read_source_file (const char *folder, const char *name)
{
  g_autofree char *path = g_build_filename (g_test_get_dir (G_TEST_DIST), "..", folder, name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static inline TdMasters *
read_demo_company (void)
{
  g_autofree char *text = read_source_file ("data/demo", "company.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (text, -1, &error);
  TdMasters *masters;

  g_assert_no_error (error);
  masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  td_masters_check_references (masters, &error);
  g_assert_no_error (error);
  return masters;
}

/* @id: the site's id, which names its file too. */
static inline TdSite *
read_demo_site (const char *id)
{
  g_autofree char *name = g_strconcat (id, ".site.json", NULL);
  g_autofree char *text = read_source_file ("data/demo", name);
  g_autoptr (GError) error = NULL;
  TdSite *site = td_site_parse (text, -1, &error);

  g_assert_no_error (error);
  return site;
}
