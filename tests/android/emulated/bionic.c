/* The phone's C library, in terms of Debian's: names that only bionic has, and the few whose numbers or sizes differ. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <pthread.h>
#include <string.h>
#include <unistd.h>

int *__errno(void) { return &errno; }

/* system properties: only the time zone is asked for */
int __system_property_get(const char *name, char *value) {
    value[0] = 0;
    return 0;
}

/* bionic's pthread_attr_t has 56 bytes, Debian's 64: what is set in it is left out, so that none is overrun */
int pthread_attr_init(pthread_attr_t *a) { memset(a, 0, 56); return 0; }
int pthread_attr_destroy(pthread_attr_t *a) { return 0; }
int pthread_attr_setstacksize(pthread_attr_t *a, size_t n) { return 0; }
int pthread_create(pthread_t *t, const pthread_attr_t *a, void *(*f)(void *), void *p) {
    static int (*real)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
    if (!real) real = dlsym(RTLD_NEXT, "pthread_create");
    return real(t, 0, f, p);
}

/* bionic numbers what can be asked differently: page size, processors */
long sysconf(int n) {
    switch (n) {
    case 0x27: case 0x28: return 4096;
    case 0x60: case 0x61: return 2;
    default: return -1;
    }
}
