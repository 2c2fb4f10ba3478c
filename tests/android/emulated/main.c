/* Loads the phone's library and does with it what the system does with an activity, as a list of words says:

     main LIB proof DATA OUT        the core: judges all surveys of DATA, writes their bundles to OUT
     main LIB walk FILES < WORDS    the app, with FILES as its own folder

   Words, one a line: night 0|1, text PERCENT, locale NAME, density DPI, insets TOP BOTTOM LEFT RIGHT, create, start, resume, pause,
   stop, save, destroy, window W H, resize W H, unwindow, focus 0|1, tap X Y, back, configured, keyboard HEIGHT,
   refuse FRAMES, wait SECONDS, settle, snap FILE, die. Each is told on the kept stream when it is done. */
#define _GNU_SOURCE
#include "android.h"
#include "jvm.h"
#include <dlfcn.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

extern FILE *log_out;
typedef struct Activity Activity;
typedef struct {
    void (*start)(Activity *), (*resume)(Activity *);
    void *(*save)(Activity *, size_t *);
    void (*pause)(Activity *), (*stop)(Activity *), (*destroy)(Activity *), (*focus)(Activity *, int);
    void (*window)(Activity *, Window *), (*resized)(Activity *, Window *), (*redraw)(Activity *, Window *),
        (*unwindow)(Activity *, Window *);
    void (*queue)(Activity *, Queue *), (*unqueue)(Activity *, Queue *);
    void (*rect)(Activity *, const int32_t *), (*configured)(Activity *), (*memory)(Activity *);
} Callbacks;
struct Activity {
    Callbacks *callbacks;
    void *vm, *env, *object;
    const char *internal, *external;
    int32_t sdk;
    void *instance, *assets;
    const char *obb;
};
void *ALooper_prepare(int);
int ALooper_pollOnce(int, int *, int *, void **);

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + t.tv_nsec / 1e9;
}
static void fail(const char *why, const char *what) {
    fprintf(log_out, "driver: %s %s\n", why, what);
    _exit(1);
}
/* the Java thread's own loop, for as long as this */
static void loop(double seconds) {
    for (double end = now() + seconds; now() < end;) ALooper_pollOnce(20, 0, 0, 0);
}
/* until no frame came for a while; slow machines are given the time that they need */
static void settle(Window *w) {
    double begun = now(), last = begun;
    for (int seen = -1; now() - last < 2.5;) {
        loop(0.1);
        if (window_frames(w) != seen) seen = window_frames(w), last = now();
        if (now() - begun > 120) fail("the app does not come to rest", "");
    }
}

int main(int count, char **args) {
    /* The library turns the usual streams into the system's log: this one is kept. */
    log_out = fdopen(dup(1), "w");
    setvbuf(log_out, 0, _IONBF, 0);
    void *vm = jvm_start(log_out);
    void *lib = dlopen(args[1], RTLD_NOW | RTLD_GLOBAL);
    if (!lib) fail("dlopen:", dlerror());
    if (count == 5 && !strcmp(args[2], "proof")) {
        int (*proof)(const char *, const char *) = dlsym(lib, "joistlight_proof");
        if (!proof) fail("no", "joistlight_proof");
        int done = proof(args[3], args[4]);
        fprintf(log_out, "bundles: %d\n", done);
        return done < 1;
    }
    void (*create)(Activity *, const void *, size_t) = dlsym(lib, "ANativeActivity_onCreate");
    if (!create) fail("no", "ANativeActivity_onCreate");
    ALooper_prepare(0);
    Callbacks *calls = 0;
    Activity *it = 0;
    Window *window = 0;
    Queue *queue = queue_new();
    int density = 160;
    char line[256], word[64], name[160];
    float x, y, left, right;
    while (fgets(line, sizeof line, stdin)) {
        if (sscanf(line, "%63s", word) != 1 || word[0] == '#') continue;
        x = y = left = right = 0;
        sscanf(line, "%*s %f %f %f %f", &x, &y, &left, &right);
        if (sscanf(line, "%*s %159s", name) != 1) name[0] = 0;
#define WORD(w) else if (!strcmp(word, w))
        if (!strcmp(word, "night")) phone_is(density, phone.night = x);
        WORD("text") phone.percent = x;
        WORD("locale") snprintf(phone.locale, sizeof phone.locale, "%s", name);
        WORD("density") phone_is(density = x, phone.night);
        WORD("insets") phone.top = x, phone.bottom = y, phone.left = left, phone.right = right;
        WORD("create") {
            it = calloc(1, sizeof *it);
            it->callbacks = calls = calloc(1, sizeof *calls);
            it->vm = vm, it->env = jvm_env(), it->object = jvm_object("joistlight/phone/Front");
            it->internal = it->external = it->obb = args[3];
            it->sdk = 34;
            it->assets = "";
            create(it, 0, 0);
        }
        WORD("start") calls->start(it);
        WORD("resume") calls->resume(it);
        WORD("pause") calls->pause(it);
        WORD("stop") calls->stop(it);
        WORD("save") { size_t n; free(calls->save(it, &n)); }
        WORD("destroy") {
            calls->unqueue(it, queue);
            calls->destroy(it);
            it = 0;
        }
        WORD("window") {
            window = window_new(x, y);
            calls->queue(it, queue);
            calls->window(it, window);
            calls->resized(it, window);
            calls->redraw(it, window);
        }
        WORD("resize") {
            window_resize(window, x, y);
            calls->resized(it, window);
            calls->redraw(it, window);
        }
        WORD("unwindow") calls->unwindow(it, window);
        WORD("focus") calls->focus(it, x);
        WORD("configured") calls->configured(it);
        WORD("keyboard") {
            void (*set)(void *, void *, int, int, int, int, int, int, int, int, int, int, int, int) = jvm_native("setInsets");
            if (!set) fail("no", "setInsets");
            int w = ANativeWindow_getWidth(window), h = ANativeWindow_getHeight(window);
            set(jvm_env(), jvm_object("java/lang/Class"), 0, 0, h, w, phone.top, phone.left, phone.bottom, phone.right, 0, 0, x,
                0);
        }
        WORD("refuse") window_refuse(window, x);
        WORD("wait") loop(x);
        WORD("tap") {
            queue_do(queue, (Event){.type = 2, .source = 0x1002, .action = 0, .x = x, .y = y});
            loop(0.15);
            queue_do(queue, (Event){.type = 2, .source = 0x1002, .action = 1, .x = x, .y = y});
        }
        WORD("back") {
            int down = queue_do(queue, (Event){.type = 1, .source = 0x101, .action = 0, .keycode = 4});
            int up = queue_do(queue, (Event){.type = 1, .source = 0x101, .action = 1, .keycode = 4});
            fprintf(log_out, "back was %s\n", down || up ? "taken" : "left to the system");
        }
        WORD("settle") settle(window);
        WORD("snap") { if (!window_write(window, name)) fail("cannot write", name); }
        WORD("die") _exit(0);
        else fail("unknown word", word);
        fprintf(log_out, "did %s", line);
        if (window) fprintf(log_out, "frames: %d\n", window_frames(window));
    }
    fprintf(log_out, "finished: %d\n", activity_finished());
    _exit(0);
}
