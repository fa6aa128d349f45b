#include "fault-vfs.h"

#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>

/* What a disk writes whole or not at all. */
#define SECTOR 512

typedef struct
{
  sqlite3_file base;
  char *path; /* NULL for a temporary file */
  sqlite3_file *real; /* behind this struct */
} FaultFile;

static sqlite3_vfs fault_vfs;
static sqlite3_vfs *real_vfs;
static struct
{
  FaultMode mode;
  guint n;
  guint count;
  gboolean fired;
  GHashTable *flushed; /* path to GBytes: what is surely on the disk */
} fault;

static sqlite3_file *
get_real (sqlite3_file *file)
{
  return ((FaultFile *) file)->real;
}

/* TRUE where this write is to fail. */
static gboolean
fails (void)
{
  fault.count++;
  if (fault.n == 0 || fault.count < fault.n || (fault.count > fault.n && fault.mode == FAULT_ONCE))
    return FALSE;
  fault.fired = TRUE;
  return TRUE;
}

static void
note_flushed (const char *path)
{
  char *bytes = NULL;
  gsize n_bytes = 0;
  if (path != NULL && fault.mode == FAULT_POWER && g_file_get_contents (path, &bytes, &n_bytes, NULL))
    g_hash_table_insert (fault.flushed, g_strdup (path), g_bytes_new_take (bytes, n_bytes));
}

/* A full disk and a broken one look different to SQLite; both must do no harm. */
static int
get_write_error (void)
{
  return fault.n % 2 == 0 ? SQLITE_FULL : SQLITE_IOERR_WRITE;
}

static int
close_file (sqlite3_file *file)
{
  int rc = get_real (file)->pMethods->xClose (get_real (file));
  g_free (((FaultFile *) file)->path);
  return rc;
}

static int
read_file (sqlite3_file *file, void *bytes, int n_bytes, sqlite3_int64 at)
{
  return get_real (file)->pMethods->xRead (get_real (file), bytes, n_bytes, at);
}

static int
write_file (sqlite3_file *file, const void *bytes, int n_bytes, sqlite3_int64 at)
{
  return fails () ? get_write_error () : get_real (file)->pMethods->xWrite (get_real (file), bytes, n_bytes, at);
}

static int
truncate_file (sqlite3_file *file, sqlite3_int64 size)
{
  return fails () ? SQLITE_IOERR_TRUNCATE : get_real (file)->pMethods->xTruncate (get_real (file), size);
}

static int
sync_file (sqlite3_file *file, int flags)
{
  if (fails ())
    return SQLITE_IOERR_FSYNC;
  int rc = get_real (file)->pMethods->xSync (get_real (file), flags);
  note_flushed (((FaultFile *) file)->path);
  return rc;
}

static int
size_file (sqlite3_file *file, sqlite3_int64 *size)
{
  return get_real (file)->pMethods->xFileSize (get_real (file), size);
}

static int
lock_file (sqlite3_file *file, int level)
{
  return get_real (file)->pMethods->xLock (get_real (file), level);
}

static int
unlock_file (sqlite3_file *file, int level)
{
  return get_real (file)->pMethods->xUnlock (get_real (file), level);
}

static int
check_lock (sqlite3_file *file, int *held)
{
  return get_real (file)->pMethods->xCheckReservedLock (get_real (file), held);
}

static int
control_file (sqlite3_file *file, int op, void *argument)
{
  return get_real (file)->pMethods->xFileControl (get_real (file), op, argument);
}

static int
get_sector (sqlite3_file *file)
{
  return get_real (file)->pMethods->xSectorSize (get_real (file));
}

static int
get_traits (sqlite3_file *file)
{
  /* Nothing is promised beyond what the test takes away: a write may be torn and come out of order. */
  return 0;
}

static int
map_shm (sqlite3_file *file, int page, int size, int extend, void volatile **memory)
{
  return get_real (file)->pMethods->xShmMap (get_real (file), page, size, extend, memory);
}

static int
lock_shm (sqlite3_file *file, int offset, int n, int flags)
{
  return get_real (file)->pMethods->xShmLock (get_real (file), offset, n, flags);
}

static void
fence_shm (sqlite3_file *file)
{
  get_real (file)->pMethods->xShmBarrier (get_real (file));
}

static int
unmap_shm (sqlite3_file *file, int erase)
{
  return get_real (file)->pMethods->xShmUnmap (get_real (file), erase);
}

static const sqlite3_io_methods methods = {
  .iVersion = 2,
  .xClose = close_file,
  .xRead = read_file,
  .xWrite = write_file,
  .xTruncate = truncate_file,
  .xSync = sync_file,
  .xFileSize = size_file,
  .xLock = lock_file,
  .xUnlock = unlock_file,
  .xCheckReservedLock = check_lock,
  .xFileControl = control_file,
  .xSectorSize = get_sector,
  .xDeviceCharacteristics = get_traits,
  .xShmMap = map_shm,
  .xShmLock = lock_shm,
  .xShmBarrier = fence_shm,
  .xShmUnmap = unmap_shm,
};

static int
open_file (sqlite3_vfs *vfs, const char *path, sqlite3_file *file, int flags, int *flags_out)
{
  FaultFile *ours = (FaultFile *) file;
  ours->real = (sqlite3_file *) (gpointer) (ours + 1);
  ours->base.pMethods = NULL;
  int rc = real_vfs->xOpen (real_vfs, path, ours->real, flags, flags_out);
  if (rc != SQLITE_OK)
    return rc;
  ours->path = g_strdup (path);
  ours->base.pMethods = &methods;
  return SQLITE_OK;
}

static int
delete_file (sqlite3_vfs *vfs, const char *path, int sync_folder)
{
  return fails () ? SQLITE_IOERR_DELETE : real_vfs->xDelete (real_vfs, path, sync_folder);
}

void
fault_vfs_register (void)
{
  g_assert_null (real_vfs);
  real_vfs = sqlite3_vfs_find (NULL);
  fault_vfs = *real_vfs;
  fault_vfs.zName = "fault";
  fault_vfs.szOsFile = sizeof (FaultFile) + real_vfs->szOsFile;
  fault_vfs.xOpen = open_file;
  fault_vfs.xDelete = delete_file;
  fault.flushed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  g_assert_cmpint (sqlite3_vfs_register (&fault_vfs, 1), ==, SQLITE_OK);
}

void
fault_vfs_arm (FaultMode mode, guint n, const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  fault.mode = mode;
  fault.n = n;
  fault.count = 0;
  fault.fired = FALSE;
  g_hash_table_remove_all (fault.flushed);
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      note_flushed (path);
    }
}

guint
fault_vfs_disarm (gboolean *fired_out)
{
  if (fired_out != NULL)
    *fired_out = fault.fired;
  fault.n = 0;
  return fault.count;
}

static void
lose_file (const char *path, GRand *chance)
{
  g_autofree char *written = NULL;
  gsize n_written = 0, n_flushed = 0;
  GBytes *flushed = g_hash_table_lookup (fault.flushed, path);
  const char *sure = flushed != NULL ? g_bytes_get_data (flushed, &n_flushed) : NULL;
  g_assert_true (g_file_get_contents (path, &written, &n_written, NULL));
  gsize length = g_rand_boolean (chance) ? n_written : MIN (n_written, n_flushed);
  g_autofree char *left = g_malloc0 (length + 1);
  for (gsize at = 0; at < length; at += SECTOR)
    {
      gsize n = MIN (SECTOR, length - at);
      if (at < n_flushed && g_rand_boolean (chance))
        memcpy (left + at, sure + at, MIN (n, n_flushed - at));
      else if (at < n_flushed || g_rand_boolean (chance))
        memcpy (left + at, written + at, n);
    }
  g_assert_true (g_file_set_contents (path, left, length, NULL));
}

void
fault_vfs_lose (const char *folder, guint32 seed)
{
  g_autoptr (GRand) chance = g_rand_new_with_seed (seed);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_str_has_suffix (name, "-shm"))
        g_unlink (path); /* shared memory does not outlive the machine's run */
      else
        lose_file (path, chance);
    }
}
