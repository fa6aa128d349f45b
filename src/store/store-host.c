#include "store-host.h"

#include "store-error.h"

#include <errno.h>
#include <string.h>
#include <sys/random.h>
#include <time.h>

/* Names the machine's run on Linux; kept for as long as the process lives. */
#define BOOT_ID_FILE "/proc/sys/kernel/random/boot_id"
/* A pinned clock's run and the boot time at which it begins: an hour. */
#define PINNED_BOOT_ID "00000000-0000-4000-8000-000000000000"
#define PINNED_BOOTTIME_MS 3600000

struct _TdClock
{
  gatomicrefcount refs;
  gboolean pinned;
  char *boot_id;
  gint64 now_ms;
  gint64 boottime_ms;
  gint64 step_ms;
  guint64 chance; /* state of the pinned sequence */
};

static gint64
read_clock (clockid_t id)
{
  struct timespec t;
  /* Fails only for an unknown clock, and these two exist since Linux 2.6.39. */
  int rc = clock_gettime (id, &t);
  g_assert (rc == 0);
  return (gint64) t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

TdClock *
td_clock_new (void)
{
  TdClock *clock = g_new0 (TdClock, 1);
  g_atomic_ref_count_init (&clock->refs);
  if (!g_file_get_contents (BOOT_ID_FILE, &clock->boot_id, NULL, NULL))
    {
      /* Where /proc is not there, boot times compare within this process only. */
      guint8 chance[16];
      td_clock_fill_random (clock, chance, sizeof chance);
      TdUuid id = td_uuid_make_v7 (read_clock (CLOCK_REALTIME), chance);
      clock->boot_id = td_uuid_to_text (&id);
    }
  g_strstrip (clock->boot_id);
  return clock;
}

TdClock *
td_clock_new_pinned (gint64 now_ms, gint64 step_ms, guint64 seed)
{
  g_return_val_if_fail (step_ms >= 0, NULL);
  TdClock *clock = g_new0 (TdClock, 1);
  g_atomic_ref_count_init (&clock->refs);
  clock->pinned = TRUE;
  clock->boot_id = g_strdup (PINNED_BOOT_ID);
  clock->now_ms = now_ms;
  clock->boottime_ms = PINNED_BOOTTIME_MS;
  clock->step_ms = step_ms;
  clock->chance = seed;
  return clock;
}

TdClock *
td_clock_ref (TdClock *clock)
{
  g_return_val_if_fail (clock != NULL, NULL);
  g_atomic_ref_count_inc (&clock->refs);
  return clock;
}

void
td_clock_unref (TdClock *clock)
{
  g_return_if_fail (clock != NULL);
  if (!g_atomic_ref_count_dec (&clock->refs))
    return;
  g_free (clock->boot_id);
  g_free (clock);
}

gboolean
td_clock_is_pinned (const TdClock *clock)
{
  g_return_val_if_fail (clock != NULL, FALSE);
  return clock->pinned;
}

gint64
td_clock_get_now_ms (const TdClock *clock)
{
  g_return_val_if_fail (clock != NULL, 0);
  return clock->pinned ? clock->now_ms : read_clock (CLOCK_REALTIME);
}

gint64
td_clock_get_boottime_ms (const TdClock *clock)
{
  g_return_val_if_fail (clock != NULL, 0);
  return clock->pinned ? clock->boottime_ms : read_clock (CLOCK_BOOTTIME);
}

const char *
td_clock_get_boot_id (const TdClock *clock)
{
  g_return_val_if_fail (clock != NULL, NULL);
  return clock->boot_id;
}

/* The finaliser of splitmix64 (S. Vigna, public domain; after G. Steele, D. Lea, C. Flood 2014): any
 * seed gives a well mixed sequence, and the same on every machine. */
static guint64
next_pinned (TdClock *clock)
{
  clock->chance += G_GUINT64_CONSTANT (0x9e3779b97f4a7c15);
  guint64 z = clock->chance;
  z = (z ^ (z >> 30)) * G_GUINT64_CONSTANT (0xbf58476d1ce4e5b9);
  z = (z ^ (z >> 27)) * G_GUINT64_CONSTANT (0x94d049bb133111eb);
  return z ^ (z >> 31);
}

void
td_clock_fill_random (TdClock *clock, guint8 *bytes, gsize n_bytes)
{
  g_return_if_fail (clock != NULL);
  g_return_if_fail (bytes != NULL || n_bytes == 0);
  if (clock->pinned)
    {
      for (gsize i = 0; i < n_bytes; i++)
        bytes[i] = next_pinned (clock) & 0xff;
      return;
    }
  gsize filled = 0;
  while (filled < n_bytes)
    {
      ssize_t got = getrandom (bytes + filled, n_bytes - filled, 0);
      if (got > 0)
        filled += got;
      else if (errno != EINTR)
        g_error ("The system gives no random numbers: %s", g_strerror (errno));
    }
}

TdUuid
td_clock_make_uuid (TdClock *clock)
{
  guint8 chance[10];
  td_clock_fill_random (clock, chance, sizeof chance);
  return td_uuid_make_v7 (td_clock_get_now_ms (clock), chance);
}

void
td_clock_set_now_ms (TdClock *clock, gint64 now_ms)
{
  g_return_if_fail (clock != NULL);
  g_assert (clock->pinned);
  /* Boot time only ever goes forward, as the kernel's does. */
  if (now_ms > clock->now_ms)
    clock->boottime_ms += now_ms - clock->now_ms;
  clock->now_ms = now_ms;
}

void
td_clock_advance (TdClock *clock)
{
  g_return_if_fail (clock != NULL);
  if (clock->pinned)
    td_clock_set_now_ms (clock, clock->now_ms + clock->step_ms);
}
