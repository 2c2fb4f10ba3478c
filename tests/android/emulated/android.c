/* A stand-in for libandroid: loopers, the queue of touches and keys, a window whose frames are kept, configuration.
   It does what the NDK's headers promise of each, as far as the library under test asks for it. */
#define _GNU_SOURCE
#include "android.h"
#include <errno.h>
#include <poll.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/eventfd.h>
#include <unistd.h>

#define NOT_HERE(name) void *name(void) { fprintf(stderr, "libandroid: " #name " is not here\n"); abort(); }

/* loopers */

typedef int (*Callback)(int fd, int events, void *data);
typedef struct { int fd, ident, events; Callback call; void *data; } Watched;
typedef struct { int wake; Watched list[32]; int count; pthread_mutex_t lock; } Looper;
static __thread Looper *mine;

Looper *ALooper_prepare(int options) {
    if (!mine) {
        mine = calloc(1, sizeof *mine);
        mine->wake = eventfd(0, EFD_NONBLOCK | EFD_CLOEXEC);
        pthread_mutex_init(&mine->lock, 0);
    }
    return mine;
}
Looper *ALooper_forThread(void) { return mine; }
void ALooper_acquire(Looper *l) {}
void ALooper_release(Looper *l) {}
void ALooper_wake(Looper *l) { eventfd_write(l->wake, 1); }

int ALooper_removeFd(Looper *l, int fd) {
    int found = 0;
    pthread_mutex_lock(&l->lock);
    for (int i = 0; i < l->count; i++)
        if (l->list[i].fd == fd) { l->list[i--] = l->list[--l->count]; found = 1; }
    pthread_mutex_unlock(&l->lock);
    return found;
}

int ALooper_addFd(Looper *l, int fd, int ident, int events, Callback call, void *data) {
    ALooper_removeFd(l, fd);
    pthread_mutex_lock(&l->lock);
    l->list[l->count++] = (Watched){fd, call ? -2 : ident, events, call, data};
    pthread_mutex_unlock(&l->lock);
    ALooper_wake(l);
    return 1;
}

/* -1 woken, -2 a callback ran, -3 time is up, else what is ready */
int ALooper_pollOnce(int timeout, int *fd, int *events, void **data) {
    Looper *l = mine;
    struct pollfd polled[33];
    Watched list[32];
    pthread_mutex_lock(&l->lock);
    int count = l->count;
    memcpy(list, l->list, sizeof list);
    pthread_mutex_unlock(&l->lock);
    polled[0] = (struct pollfd){l->wake, POLLIN, 0};
    for (int i = 0; i < count; i++) polled[i + 1] = (struct pollfd){list[i].fd, POLLIN, 0};
    int ready = poll(polled, count + 1, timeout);
    if (ready == 0) return -3;
    if (ready < 0) return errno == EINTR ? -1 : -4;
    int called = 0;
    for (int i = 0; i < count; i++) {
        if (!polled[i + 1].revents) continue;
        if (list[i].call) {
            called = 1;
            if (!list[i].call(list[i].fd, 1, list[i].data)) ALooper_removeFd(l, list[i].fd);
        } else {
            if (fd) *fd = list[i].fd;
            if (events) *events = 1;
            if (data) *data = list[i].data;
            return list[i].ident;
        }
    }
    if (called) return -2;
    eventfd_t n;
    eventfd_read(l->wake, &n);
    return -1;
}

/* no display to keep time with: animations fall back to the loop's own clock */
void *AChoreographer_getInstance(void) { return 0; }
void AChoreographer_postFrameCallback(void *c, void (*call)(long, void *), void *data) {}

/* touches and keys */

struct Queue { pthread_mutex_t lock; pthread_cond_t done; Event *first; int fd; Looper *at; };

Queue *queue_new(void) {
    Queue *q = calloc(1, sizeof *q);
    pthread_mutex_init(&q->lock, 0);
    pthread_cond_init(&q->done, 0);
    q->fd = eventfd(0, EFD_NONBLOCK | EFD_SEMAPHORE | EFD_CLOEXEC);
    return q;
}

int queue_do(Queue *q, Event e) {
    Event *it = malloc(sizeof e);
    *it = e;
    it->handled = -1;
    it->next = 0;
    pthread_mutex_lock(&q->lock);
    Event **last = &q->first;
    while (*last) last = &(*last)->next;
    *last = it;
    eventfd_write(q->fd, 1);
    while (it->handled < 0) pthread_cond_wait(&q->done, &q->lock);
    pthread_mutex_unlock(&q->lock);
    int handled = it->handled;
    free(it);
    return handled;
}

void AInputQueue_attachLooper(Queue *q, Looper *l, int ident, Callback call, void *data) {
    q->at = l;
    ALooper_addFd(l, q->fd, ident, 1, call, data);
}
void AInputQueue_detachLooper(Queue *q) {
    if (q->at) ALooper_removeFd(q->at, q->fd);
    q->at = 0;
}
int AInputQueue_getEvent(Queue *q, Event **out) {
    eventfd_t n;
    pthread_mutex_lock(&q->lock);
    *out = q->first;
    if (q->first) q->first = q->first->next, eventfd_read(q->fd, &n);
    pthread_mutex_unlock(&q->lock);
    return *out ? 0 : -1;
}
int AInputQueue_preDispatchEvent(Queue *q, Event *e) { return 0; }
void AInputQueue_finishEvent(Queue *q, Event *e, int handled) {
    pthread_mutex_lock(&q->lock);
    e->handled = handled;
    pthread_cond_broadcast(&q->done);
    pthread_mutex_unlock(&q->lock);
}
int AInputEvent_getType(Event *e) { return e->type; }
int AInputEvent_getSource(Event *e) { return e->source; }
int AInputEvent_getDeviceId(Event *e) { return 1; }
int AKeyEvent_getAction(Event *e) { return e->action; }
int AKeyEvent_getKeyCode(Event *e) { return e->keycode; }
int AKeyEvent_getMetaState(Event *e) { return 0; }
int AKeyEvent_getRepeatCount(Event *e) { return 0; }
int AMotionEvent_getAction(Event *e) { return e->action; }
int AMotionEvent_getButtonState(Event *e) { return 0; }
size_t AMotionEvent_getPointerCount(Event *e) { return 1; }
int AMotionEvent_getPointerId(Event *e, size_t i) { return 0; }
float AMotionEvent_getAxisValue(Event *e, int axis, size_t i) { return axis == 0 ? e->x : axis == 1 ? e->y : 0; }

/* a window */

struct Window { int w, h, stride, format, frames, refuse; uint32_t *bits, *posted; pthread_mutex_t lock; };
typedef struct { int32_t width, height, stride, format; void *bits; uint32_t reserved[6]; } Buffer;

Window *window_new(int w, int h) {
    Window *it = calloc(1, sizeof *it);
    pthread_mutex_init(&it->lock, 0);
    window_resize(it, w, h);
    return it;
}
void window_resize(Window *it, int w, int h) {
    pthread_mutex_lock(&it->lock);
    it->w = w, it->h = h, it->stride = w + 12; /* rows of a real buffer are longer, too */
    it->bits = calloc(it->stride * h, 4);
    it->posted = calloc(it->stride * h, 4);
    pthread_mutex_unlock(&it->lock);
}
int window_frames(Window *it) { return it->frames; }
void window_refuse(Window *it, int frames) { it->refuse = frames; }
int window_write(Window *it, const char *file) {
    FILE *f = fopen(file, "wb");
    if (!f) return 0;
    pthread_mutex_lock(&it->lock);
    fprintf(f, "P6 %d %d 255\n", it->w, it->h);
    for (int y = 0; y < it->h; y++)
        for (int x = 0; x < it->w; x++) fwrite(it->posted + y * it->stride + x, 1, 3, f);
    pthread_mutex_unlock(&it->lock);
    return fclose(f) == 0;
}
void ANativeWindow_acquire(Window *it) {}
void ANativeWindow_release(Window *it) {}
int32_t ANativeWindow_getWidth(Window *it) { return it->w; }
int32_t ANativeWindow_getHeight(Window *it) { return it->h; }
int32_t ANativeWindow_setBuffersGeometry(Window *it, int32_t w, int32_t h, int32_t format) {
    if (w != it->w || h != it->h) { fprintf(stderr, "libandroid: frames of another size are not here\n"); abort(); }
    it->format = format;
    return 0;
}
int32_t ANativeWindow_lock(Window *it, Buffer *b, void *dirty) {
    if (it->refuse > 0) {
        it->refuse--;
        fprintf(stderr, "libandroid: a frame is refused\n");
        return -22;
    }
    *b = (Buffer){it->w, it->h, it->stride, it->format, it->bits};
    return 0;
}
int32_t ANativeWindow_unlockAndPost(Window *it) {
    pthread_mutex_lock(&it->lock);
    memcpy(it->posted, it->bits, (size_t)it->stride * it->h * 4);
    it->frames++;
    pthread_mutex_unlock(&it->lock);
    return 0;
}

/* how the phone is set up */

static int is_density = 160, is_night;
static char here[64];
void phone_is(int density, int night) { is_density = density, is_night = night; }
void *AAssetManager_fromJava(void *env, void *it) { return here; }
void *AConfiguration_new(void) { return here; }
void AConfiguration_delete(void *c) {}
void AConfiguration_copy(void *to, void *from) {}
void AConfiguration_fromAssetManager(void *c, void *a) {}
void AConfiguration_getLanguage(void *c, char *out) { memcpy(out, "en", 2); }
void AConfiguration_getCountry(void *c, char *out) { memcpy(out, "US", 2); }
int AConfiguration_getDensity(void *c) { return is_density; }
int AConfiguration_getUiModeNight(void *c) { return is_night ? 2 : 1; }
int AConfiguration_getSdkVersion(void *c) { return 34; }
#define NOUGHT(name) int name(void *c) { return 0; }
NOUGHT(AConfiguration_getKeyboard) NOUGHT(AConfiguration_getKeysHidden) NOUGHT(AConfiguration_getMcc)
NOUGHT(AConfiguration_getMnc) NOUGHT(AConfiguration_getNavHidden) NOUGHT(AConfiguration_getNavigation)
NOUGHT(AConfiguration_getOrientation) NOUGHT(AConfiguration_getScreenLong) NOUGHT(AConfiguration_getScreenSize)
NOUGHT(AConfiguration_getTouchscreen) NOUGHT(AConfiguration_getUiModeType)

static int finished;
void ANativeActivity_finish(void *activity) { finished++; }
int activity_finished(void) { return finished; }
