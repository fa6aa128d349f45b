#include "store-file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

/* What SQLite puts beside a database. */
static const char *const endings[] = { "", "-wal", "-shm", "-journal" };

static gboolean
fail (GError **error, int number, const char *path)
{
  TdBookError code = TD_BOOK_ERROR_IO;
  if (number == ENOSPC || number == EDQUOT || number == EFBIG)
    code = TD_BOOK_ERROR_FULL;
  else if (number == EACCES || number == EROFS || number == EPERM)
    code = TD_BOOK_ERROR_READ_ONLY;
  else if (number == ENOENT || number == ENOTDIR)
    code = TD_BOOK_ERROR_MISSING;
  g_set_error (error, TD_BOOK_ERROR, code,
               "“%s” cannot be written (%s); nothing was changed; look at the folder, its permissions and "
               "the room left", path, g_strerror (number));
  return FALSE;
}

char *
td_file_make_temporary (const char *path, GError **error)
{
  g_return_val_if_fail (path != NULL, NULL);
  g_autofree char *temporary = g_strconcat (path, ".new-XXXXXX", NULL);
  /* mkstemp() makes the file with mode 0600, which SQLite's files beside it take over. */
  int fd = mkstemp (temporary);
  if (fd < 0)
    {
      fail (error, errno, path);
      return NULL;
    }
  close (fd);
  return g_steal_pointer (&temporary);
}

/* A name is durable only once its folder is (fsync(2)). */
static gboolean
sync_folder (const char *path, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path);
  int fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0)
    return fail (error, errno, path);
  /* Some network file systems know no fsync of a folder and say EINVAL. */
  gboolean ok = fsync (fd) == 0 || errno == EINVAL;
  int number = errno;
  close (fd);
  return ok || fail (error, number, path);
}

/* A log that another database left beside the name would be taken for the new file's own and played into
 * it (SQLite, "How To Corrupt An SQLite Database File", 1.4). */
static gboolean
check_left_over (const char *path, GError **error)
{
  static const char *const logs[] = { "-wal", "-journal" };
  for (gsize i = 0; i < G_N_ELEMENTS (logs); i++)
    {
      g_autofree char *name = g_strconcat (path, logs[i], NULL);
      if (access (name, F_OK) != 0)
        continue;
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS,
                   "“%s” belongs to a book that was or is in use under this name; nothing was changed; "
                   "close that book, or move the file away", name);
      return FALSE;
    }
  return TRUE;
}

gboolean
td_file_publish (const char *temporary, const char *path, gboolean replace, GError **error)
{
  g_return_val_if_fail (temporary != NULL && path != NULL, FALSE);
  if (!check_left_over (path, error))
    return FALSE;
  int rc = renameat2 (AT_FDCWD, temporary, AT_FDCWD, path, replace ? 0 : RENAME_NOREPLACE);
  if (rc != 0 && errno == EINVAL && !replace)
    {
      /* The file system has no such rename; a hard link refuses an existing name as well. */
      rc = link (temporary, path);
      if (rc == 0)
        unlink (temporary);
    }
  if (rc != 0 && errno == EEXIST)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_EXISTS,
                   "“%s” exists already and was left as it is; choose another name", path);
      return FALSE;
    }
  if (rc != 0)
    return fail (error, errno, path);
  return sync_folder (path, error);
}

void
td_file_discard (const char *temporary)
{
  g_return_if_fail (temporary != NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      g_autofree char *name = g_strconcat (temporary, endings[i], NULL);
      unlink (name);
    }
}

gboolean
td_file_is_same (const char *a, const char *b)
{
  struct stat first, second;
  g_return_val_if_fail (a != NULL && b != NULL, FALSE);
  return stat (a, &first) == 0 && stat (b, &second) == 0 && first.st_dev == second.st_dev &&
         first.st_ino == second.st_ino;
}

char *
td_file_find_free (const char *path, const char *ending)
{
  g_return_val_if_fail (path != NULL && ending != NULL, NULL);
  char *name = g_strconcat (path, ending, NULL);
  for (guint n = 2; g_file_test (name, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK); n++)
    {
      g_free (name);
      name = g_strdup_printf ("%s%s-%u", path, ending, n);
    }
  return name;
}

gboolean
td_file_move (const char *from, const char *to, GError **error)
{
  g_return_val_if_fail (from != NULL && to != NULL, FALSE);
  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      g_autofree char *old_name = g_strconcat (from, endings[i], NULL);
      g_autofree char *new_name = g_strconcat (to, endings[i], NULL);
      if (rename (old_name, new_name) != 0 && errno != ENOENT)
        return fail (error, errno, old_name);
    }
  return sync_folder (from, error);
}
