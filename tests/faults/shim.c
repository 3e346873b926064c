/* Stands between a process and its disk (LD_PRELOAD): counts every change below one folder, fails the nth, and writes
 * each that was made to a log. Nothing is watched until `arm` is called.
 *
 * A change that fails is not made, but for a write, of which the first half is. Where changes are logged or failed no
 * sync is passed on: the processes end, the machine does not, and waiting for the disk would take most of the time.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/uio.h>
#include <unistd.h>

/* Some C libraries define the one as the other. */
#undef open64
#undef openat64
#undef pwrite64
#undef ftruncate64
#undef truncate64

#define REAL(result, name, ...) \
    static result (*real)(__VA_ARGS__); \
    if (!real) real = (result (*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)

static char folder[PATH_MAX];
static size_t folder_length;
static long nth, seen;
static int failure, lasting, log_to = -1;

void arm(const char *where, long which, int error, int for_good, int log)
{
    snprintf(folder, sizeof folder, "%s", where);
    folder_length = strlen(folder);
    nth = which, failure = error, lasting = for_good, log_to = log, seen = 0;
}

long changes(void)
{
    return seen;
}

static int inside(const char *path)
{
    return folder_length && !strncmp(path, folder, folder_length)
        && (path[folder_length] == '/' || !path[folder_length]);
}

/* The path that a name within an open folder stands for. */
static const char *at(int where, const char *path, char *room)
{
    char link[64], base[PATH_MAX];
    ssize_t length;

    if (!folder_length || path[0] == '/')
        return path;
    snprintf(link, sizeof link, where == AT_FDCWD ? "/proc/self/cwd" : "/proc/self/fd/%d", where);
    length = readlink(link, base, sizeof base - 1);
    if (length < 0)
        return path;
    base[length] = 0;
    if ((size_t)snprintf(room, PATH_MAX, "%s/%s", base, path) >= PATH_MAX)
        return path;
    return room;
}

static int watched(int file)
{
    char link[64], path[PATH_MAX];
    ssize_t length;

    if (!folder_length)
        return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    length = readlink(link, path, sizeof path - 1);
    if (length < 0)
        return 0;
    path[length] = 0;
    return inside(path);
}

static int fails(void)
{
    seen++;
    if (!nth || (lasting ? seen < nth : seen != nth))
        return 0;
    errno = failure;
    return 1;
}

struct record {
    uint64_t kind, file, number, first, second;
};

static void note(char kind, uint64_t file, uint64_t number, const void *first, size_t a, const char *second)
{
    struct record record = {(uint64_t)kind, file, number, a, second ? strlen(second) : 0};
    struct iovec parts[3] = {{&record, sizeof record}, {(void *)first, a}, {(void *)second, record.second}};
    int before = errno;
    REAL(ssize_t, "writev", int, const struct iovec *, int);

    if (log_to >= 0)
        real(log_to, parts, 3);
    errno = before;
}

static uint64_t number_of(int file)
{
    struct stat about;

    return fstat(file, &about) ? 0 : (uint64_t)about.st_ino;
}

static int opened(int (*real)(int, const char *, int, ...), int where, const char *path, int flags, mode_t mode)
{
    char room[PATH_MAX];
    const char *whole = at(where, path, room);
    int writes = (flags & O_ACCMODE) != O_RDONLY, there, file;

    if (!writes || !inside(whole))
        return real(where, path, flags, mode);
    there = !faccessat(AT_FDCWD, whole, F_OK, 0);
    if ((!there && flags & O_CREAT) || (there && flags & O_TRUNC)) {
        if (there && flags & O_EXCL)
            return real(where, path, flags, mode);
        if (fails())
            return -1;
        file = real(where, path, flags, mode);
        if (file >= 0 && there)
            note('t', number_of(file), 0, NULL, 0, NULL);
        else if (file >= 0)
            note('c', number_of(file), 0, whole, strlen(whole), NULL);
        return file;
    }
    return real(where, path, flags, mode);
}

#define MODE \
    mode_t mode = 0; \
    if (flags & O_CREAT) { \
        va_list rest; \
        va_start(rest, flags); \
        mode = va_arg(rest, mode_t); \
        va_end(rest); \
    }

int openat(int where, const char *path, int flags, ...)
{
    REAL(int, "openat", int, const char *, int, ...);
    MODE
    return opened(real, where, path, flags, mode);
}

int openat64(int where, const char *path, int flags, ...)
{
    MODE
    return openat(where, path, flags | O_LARGEFILE, mode);
}

int open(const char *path, int flags, ...)
{
    MODE
    return openat(AT_FDCWD, path, flags, mode);
}

int open64(const char *path, int flags, ...)
{
    MODE
    return openat(AT_FDCWD, path, flags | O_LARGEFILE, mode);
}

static ssize_t put(int file, const void *data, size_t size, off_t offset)
{
    REAL(ssize_t, "pwrite", int, const void *, size_t, off_t);
    int failing = fails(), error = errno;
    ssize_t done = real(file, data, failing ? size / 2 : size, offset);

    if (done > 0)
        note('w', number_of(file), (uint64_t)offset, data, (size_t)done, NULL);
    if (!failing)
        return done;
    errno = error;
    return -1;
}

ssize_t pwrite(int file, const void *data, size_t size, off_t offset)
{
    REAL(ssize_t, "pwrite", int, const void *, size_t, off_t);
    return watched(file) ? put(file, data, size, offset) : real(file, data, size, offset);
}

ssize_t pwrite64(int file, const void *data, size_t size, off_t offset)
{
    return pwrite(file, data, size, offset);
}

ssize_t write(int file, const void *data, size_t size)
{
    REAL(ssize_t, "write", int, const void *, size_t);
    off_t offset;
    ssize_t done;

    if (file != STDOUT_FILENO && watched(file)) {
        offset = lseek(file, 0, fcntl(file, F_GETFL) & O_APPEND ? SEEK_END : SEEK_CUR);
        done = put(file, data, size, offset);
        if (done > 0)
            lseek(file, offset + done, SEEK_SET);
        return done;
    }
    done = real(file, data, size);
    if (file == STDOUT_FILENO && folder_length && done > 0)
        note('a', 0, 0, data, (size_t)done, NULL);
    return done;
}

int ftruncate(int file, off_t size)
{
    REAL(int, "ftruncate", int, off_t);
    int result;

    if (!watched(file))
        return real(file, size);
    if (fails())
        return -1;
    result = real(file, size);
    if (!result)
        note('t', number_of(file), (uint64_t)size, NULL, 0, NULL);
    return result;
}

int ftruncate64(int file, off_t size)
{
    return ftruncate(file, size);
}

static int synced(int file)
{
    if (fails())
        return -1;
    note('s', number_of(file), 0, NULL, 0, NULL);
    return 0;
}

int fsync(int file)
{
    REAL(int, "fsync", int);
    return watched(file) ? synced(file) : real(file);
}

int fdatasync(int file)
{
    REAL(int, "fdatasync", int);
    return watched(file) ? synced(file) : real(file);
}

int renameat(int from, const char *old, int to, const char *new)
{
    REAL(int, "renameat", int, const char *, int, const char *);
    char room[PATH_MAX], place[PATH_MAX];
    const char *first = at(from, old, room), *second = at(to, new, place);
    int result;

    if (!inside(first) && !inside(second))
        return real(from, old, to, new);
    if (fails())
        return -1;
    result = real(from, old, to, new);
    if (!result)
        note('r', 0, 0, first, strlen(first), second);
    return result;
}

int rename(const char *old, const char *new)
{
    return renameat(AT_FDCWD, old, AT_FDCWD, new);
}

int linkat(int from, const char *old, int to, const char *new, int flags)
{
    REAL(int, "linkat", int, const char *, int, const char *, int);
    char room[PATH_MAX], place[PATH_MAX];
    const char *first = at(from, old, room), *second = at(to, new, place);
    int result;

    if (!inside(second))
        return real(from, old, to, new, flags);
    if (fails())
        return -1;
    result = real(from, old, to, new, flags);
    if (!result)
        note('l', 0, 0, first, strlen(first), second);
    return result;
}

int link(const char *old, const char *new)
{
    return linkat(AT_FDCWD, old, AT_FDCWD, new, 0);
}

int unlinkat(int where, const char *path, int flags)
{
    REAL(int, "unlinkat", int, const char *, int);
    char room[PATH_MAX];
    const char *whole = at(where, path, room);
    int result;

    /* What is not there was no change, and fails for a reason of its own. */
    if (!inside(whole) || faccessat(AT_FDCWD, whole, F_OK, AT_SYMLINK_NOFOLLOW))
        return real(where, path, flags);
    if (fails())
        return -1;
    result = real(where, path, flags);
    if (!result)
        note('u', 0, 0, whole, strlen(whole), NULL);
    return result;
}

int unlink(const char *path)
{
    return unlinkat(AT_FDCWD, path, 0);
}

int rmdir(const char *path)
{
    return unlinkat(AT_FDCWD, path, AT_REMOVEDIR);
}

int mkdirat(int where, const char *path, mode_t mode)
{
    REAL(int, "mkdirat", int, const char *, mode_t);
    char room[PATH_MAX];
    const char *whole = at(where, path, room);
    struct stat about;
    int result;

    if (!inside(whole))
        return real(where, path, mode);
    if (fails())
        return -1;
    result = real(where, path, mode);
    if (!result && !stat(whole, &about))
        note('m', (uint64_t)about.st_ino, 0, whole, strlen(whole), NULL);
    return result;
}

int mkdir(const char *path, mode_t mode)
{
    return mkdirat(AT_FDCWD, path, mode);
}
