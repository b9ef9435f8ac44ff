/* Stands between a program and the system, and breaks one call that changes the herd database.
 *
 *   hornrule --> SQLite --> write, pwrite64, ftruncate, fsync, fdatasync
 *                             | counted: 1, 2, 3 ... of main file, -wal and -journal
 *                             +--> call number HORNRULE_FAULT_AT meets HORNRULE_FAULT_KIND
 *                             +--> everything done is written down in HORNRULE_FAULT_LOG
 *
 * HORNRULE_FAULT_FILE  the database, as an absolute path without links
 * HORNRULE_FAULT_FOLDER  if given, writes, syncs, truncations and renames of all other files below
 *                      this folder count too
 * HORNRULE_FAULT_KIND  none       count and write down only
 *                      kill       SIGKILL instead of the call
 *                      tear       the first half of a write, then SIGKILL
 *                      full       ENOSPC for this and all later writes
 *                      full-once  ENOSPC for this one
 *                      io         EIO for this and all later calls
 *                      io-once    EIO for this one
 *
 * The log is what a loss of power is told from: a reader of it knows which bytes were followed by a
 * sync of their file. An entry is op, file, offset, length, all little-endian, and `length` bytes
 * after op 'w':
 *
 *   op 1 | file 1 | offset 8 | length 8 | bytes
 *   op   'w' write, 't' truncate to `offset`, 's' sync, 'u' unlink (written down, not counted)
 *   file 0 main, 1 -wal, 2 -journal, 3 any other below the folder; 'r' rename to such a file
 *
 * -shm is left alone: it is mapped memory and not written by calls, SQLite never syncs it and makes
 * it anew from the -wal whenever nobody else has the database open.
 *
 * System calls are made directly, so that nothing has to be looked up in the next library.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

enum kind { NONE, KILL, TEAR, FULL, FULL_ONCE, IO, IO_ONCE };
static const char *const KINDS[] = {"none", "kill", "tear", "full", "full-once", "io", "io-once"};
static const char *const ENDS[] = {"", "-wal", "-journal"};

static const char *database, *folder;
static enum kind kind;
static long strike_at, calls;
static int log_fd = -1;

__attribute__((constructor)) static void begin(void) {
    const char *word = getenv("HORNRULE_FAULT_KIND");
    const char *at = getenv("HORNRULE_FAULT_AT");
    const char *log = getenv("HORNRULE_FAULT_LOG");
    database = getenv("HORNRULE_FAULT_FILE");
    folder = getenv("HORNRULE_FAULT_FOLDER");
    for (int i = 0; word && i < (int)(sizeof KINDS / sizeof *KINDS); i++)
        if (strcmp(word, KINDS[i]) == 0) kind = (enum kind)i;
    strike_at = at ? atol(at) : 0;
    if (log)
        log_fd = (int)syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC,
                              0600);
}

/* Which of the database's files a path names; -1 for any other. */
static int file_of_path(const char *path) {
    size_t length = database ? strlen(database) : 0, above = folder ? strlen(folder) : 0;
    if (length > 0 && strncmp(path, database, length) == 0) {
        for (int i = 0; i < 3; i++)
            if (strcmp(path + length, ENDS[i]) == 0) return i;
        if (strcmp(path + length, "-shm") == 0) return -1;
    }
    return above > 0 && strncmp(path, folder, above) == 0 && path[above] == '/' ? 3 : -1;
}

static int file_of(int fd) {
    char link[32] = "/proc/self/fd/", path[4096], digits[12];
    int saved = errno, count = 0, at = (int)strlen(link);
    if (!database || fd < 0 || fd == log_fd) return -1;
    do digits[count++] = (char)('0' + fd % 10); while ((fd /= 10) > 0);
    while (count > 0) link[at++] = digits[--count];
    long length = syscall(SYS_readlinkat, AT_FDCWD, link, path, sizeof path - 1);
    errno = saved;
    if (length <= 0) return -1;
    path[length] = 0;
    return file_of_path(path);
}

static void note(char op, int file, int64_t offset, const void *bytes, int64_t length) {
    int saved = errno;
    unsigned char head[18] = {(unsigned char)op, (unsigned char)file};
    if (log_fd < 0) return;
    memcpy(head + 2, &offset, 8);
    memcpy(head + 10, &length, 8);
    syscall(SYS_write, log_fd, head, sizeof head);
    if (bytes && length > 0) syscall(SYS_write, log_fd, bytes, (size_t)length);
    errno = saved;
}

static void die(void) {
    syscall(SYS_kill, syscall(SYS_getpid), SIGKILL);
    for (;;) syscall(SYS_sched_yield);
}

/* Counts a call; gives the error it is to fail with, or 0. `tears` is set where half of it is to
 * be done before the end. */
static int strike(int is_write, int *tears) {
    long number = ++calls;
    int now = number == strike_at, since = strike_at > 0 && number >= strike_at;
    switch (kind) {
    case NONE: return 0;
    case KILL: if (now) die(); return 0;
    case TEAR: *tears = now; return 0;
    case FULL: return since && is_write ? ENOSPC : 0;
    case FULL_ONCE: return now && is_write ? ENOSPC : 0;
    case IO: return since ? EIO : 0;
    case IO_ONCE: return now ? EIO : 0;
    }
    return 0;
}

static ssize_t wrote(int fd, int file, const void *bytes, size_t length, int64_t offset, int moves) {
    int tears = 0, error = strike(1, &tears);
    if (error) {
        errno = error;
        return -1;
    }
    if (tears) length /= 2;
    ssize_t done = moves ? syscall(SYS_write, fd, bytes, length)
                         : syscall(SYS_pwrite64, fd, bytes, length, offset);
    if (done > 0) note('w', file, offset, bytes, done);
    if (tears) die();
    return done;
}

ssize_t write(int fd, const void *bytes, size_t length) {
    int file = file_of(fd);
    if (file < 0) return syscall(SYS_write, fd, bytes, length);
    return wrote(fd, file, bytes, length, syscall(SYS_lseek, fd, 0, SEEK_CUR), 1);
}

ssize_t pwrite64(int fd, const void *bytes, size_t length, off64_t offset) {
    int file = file_of(fd);
    if (file < 0) return syscall(SYS_pwrite64, fd, bytes, length, offset);
    return wrote(fd, file, bytes, length, offset, 0);
}

ssize_t pwrite(int fd, const void *bytes, size_t length, off_t offset) {
    return pwrite64(fd, bytes, length, offset);
}

int ftruncate64(int fd, off64_t length) {
    int file = file_of(fd), tears = 0, error = file < 0 ? 0 : strike(0, &tears);
    if (error) {
        errno = error;
        return -1;
    }
    int done = (int)syscall(SYS_ftruncate, fd, length);
    if (file >= 0 && done == 0) note('t', file, length, 0, 0);
    if (tears) die();
    return done;
}

int ftruncate(int fd, off_t length) { return ftruncate64(fd, length); }

static int synced(int fd, long number) {
    int file = file_of(fd), tears = 0, error = file < 0 ? 0 : strike(0, &tears);
    if (error) {
        errno = error;
        return -1;
    }
    int done = (int)syscall(number, fd);
    if (file >= 0 && done == 0) note('s', file, 0, 0, 0);
    if (tears) die();
    return done;
}

int fsync(int fd) { return synced(fd, SYS_fsync); }
int fdatasync(int fd) { return synced(fd, SYS_fdatasync); }

int unlink(const char *path) {
    int file = file_of_path(path);
    int done = (int)syscall(SYS_unlinkat, AT_FDCWD, path, 0);
    if (file >= 0 && done == 0) note('u', file, 0, 0, 0);
    return done;
}

/* A name relative to the folder counts only if the program runs in it, as the tests do. */
int rename(const char *from, const char *to) {
    int file = !folder ? -1 : to[0] == '/' ? file_of_path(to) : 3, tears = 0;
    int error = file < 0 ? 0 : strike(0, &tears);
    if (error) {
        errno = error;
        return -1;
    }
    int done = (int)syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
    if (file >= 0 && done == 0) note('r', file, 0, 0, 0);
    if (tears) die();
    return done;
}
