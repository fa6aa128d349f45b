/* fault-vfs.h: a disk that fails on demand: a layer over SQLite's own access to files.
 *
 * Writes, truncations and flushes are counted together from fault_vfs_arm() on. */
#pragma once

#include <glib.h>

typedef enum
{
  FAULT_ONCE,   /* the n-th fails, the next ones work again: a bad sector, a moment without room */
  FAULT_FROM,   /* the n-th and all that follow fail: the disk is gone or full */
  FAULT_POWER   /* likewise, and of what was not flushed before a part is lost, sector by sector */
} FaultMode;

/* Makes the layer SQLite's default; harmless until it is armed. */
void fault_vfs_register (void);
/* @n: from 1; 0 only counts. @folder: whose files are taken to be safely on the disk so far. */
void fault_vfs_arm (FaultMode mode, guint n, const char *folder);
/* Back to a good disk. Returns how many writes, truncations and flushes there were. @fired_out: whether
 * one of them failed. */
guint fault_vfs_disarm (gboolean *fired_out);
/* After FAULT_POWER, with everything closed: makes of the files under @folder what may be left of them:
 * for each sector of 512 bytes either what was last flushed or what was last written, as @seed falls. */
void fault_vfs_lose (const char *folder, guint32 seed);
