/* As much of a Java machine as the library asks for: classes and methods are names, and what a method answers is
   written down in `answer`. No byte of Java runs here; what Front.java does with a call is not proved by it, only
   that the call is made, and with what. */
#define _GNU_SOURCE
#include "jvm.h"
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Object { char cls[96], text[256]; int is_class; void *bytes; long size; } Object;
typedef union { uint8_t z; int8_t b; uint16_t c; int16_t s; int32_t i; int64_t j; float f; double d; void *l; } Value;
typedef struct { char name[96], sig[256]; } Member;

struct Phone phone = {.percent = 100, .night = 1, .locale = "en_US", .camera = 1};
FILE *jvm_log;
static void *env_table[240], *vm_table[8];
static void *the_env = env_table, *the_vm = vm_table;
static struct { char name[64]; void *call; } natives[64];
static int native_count;

/* Nothing is ever let go of: a run is short. */
static Object *object(const char *cls, const char *text) {
    Object *it = calloc(1, sizeof *it);
    snprintf(it->cls, sizeof it->cls, "%s", cls);
    snprintf(it->text, sizeof it->text, "%s", text ? text : "");
    for (char *at = it->cls; *at; at++) if (*at == '.') *at = '/';
    return it;
}
static Object *class(const char *name) {
    Object *it = object("java/lang/Class", name);
    for (char *at = it->text; *at; at++) if (*at == '.') *at = '/';
    it->is_class = 1;
    return it;
}
static const char *text(void *it) { return it ? ((Object *)it)->text : "null"; }
static int is(const char *a, const char *b) { return !strcmp(a, b); }

static Value answer(Object *on, Member *of, Value *args) {
    Value v = {.j = 0};
    const char *n = of->name;
    if (is(n, "getClassLoader") || is(n, "getContextClassLoader")) v.l = object("java/lang/ClassLoader", "");
    else if (is(n, "loadClass") || is(n, "findClass") || is(n, "forName")) v.l = class(text(args[0].l));
    else if (is(n, "currentThread")) v.l = object("java/lang/Thread", "");
    else if (is(n, "getApplication")) v.l = object("android/app/Application", "");
    else if (is(n, "getAssets")) v.l = object("android/content/res/AssetManager", "");
    else if (is(n, "setContextClassLoader") || is(n, "setName")) ;
    /* Slint's helper */
    else if (is(n, "color_scheme")) v.i = phone.night ? 0x20 : 0x10;
    else if (is(n, "font_scale")) v.f = phone.percent / 100.f;
    else if (is(n, "accent_color")) v.i = 0;
    else if (is(n, "getLongPressTimeout")) v.i = 500;
    else if (is(n, "get_safe_area")) v.l = object("android/graphics/Rect", "insets");
    else if (is(n, "get_view_rect")) v.l = object("android/graphics/Rect", "");
    else if (is(n, "show_keyboard") || is(n, "hide_keyboard") || is(n, "set_imm_data") || is(n, "set_handle_color"))
        fprintf(jvm_log, "[java] %s\n", n);
    else if (is(n, "finish_activity")) fprintf(jvm_log, "[java] finish\n");
    /* Front.java */
    else if (is(n, "locale")) v.l = object("java/lang/String", phone.locale);
    else if (is(n, "night")) v.i = phone.night;
    else if (is(n, "textPercent")) v.i = phone.percent;
    else if (is(n, "hasCamera")) v.z = phone.camera;
    else if (is(n, "fetch")) fprintf(jvm_log, "[java] fetch %d %s\n", args[0].i, text(args[1].l));
    else if (is(n, "share") || is(n, "copy") || is(n, "end")) fprintf(jvm_log, "[java] %s %s\n", n, text(args[0].l));
    else if (is(n, "keepAwake")) fprintf(jvm_log, "[java] keepAwake %d\n", args[0].z);
    else {
        fprintf(jvm_log, "jvm: %s.%s%s is not here\n", on ? on->cls : "", n, of->sig);
        abort();
    }
    fflush(jvm_log);
    return v;
}

static void unknown(void) { fprintf(jvm_log ? jvm_log : stderr, "jvm: a function of JNI that is not here\n"); abort(); }
static int version(void *e) { return 0x00010006; }
static void *find_class(void *e, const char *name) { return class(name); }
static int yes(void *e, void *a, void *b) { return 1; }
static int no(void *e) { return 0; }
static void *null(void *e) { return 0; }
static void *same(void *e, void *it) { return it; }
static void *pop_frame(void *e, void *it) { return it; }
static void none(void *e, void *it) {}
static int push_frame(void *e, int n) { return 0; }
static uint8_t same_object(void *e, void *a, void *b) { return a == b; }
static void *new_object(void *e, void *cls, Member *m, Value *args) { return object(text(cls), ""); }
static void *class_of(void *e, Object *it) { return class(it->cls); }
static void *member(void *e, void *cls, const char *name, const char *sig) {
    Member *it = calloc(1, sizeof *it);
    snprintf(it->name, sizeof it->name, "%s", name);
    snprintf(it->sig, sizeof it->sig, "%s", sig);
    return it;
}
static void *call_l(void *e, Object *on, Member *m, Value *a) { return answer(on, m, a).l; }
static uint8_t call_z(void *e, Object *on, Member *m, Value *a) { return answer(on, m, a).z; }
static int call_i(void *e, Object *on, Member *m, Value *a) { return answer(on, m, a).i; }
static float call_f(void *e, Object *on, Member *m, Value *a) { return answer(on, m, a).f; }
static void call_v(void *e, Object *on, Member *m, Value *a) { answer(on, m, a); }
static int get_int(void *e, Object *it, Member *m) {
    if (is(it->text, "insets"))
        return is(m->name, "top") ? phone.top : is(m->name, "bottom") ? phone.bottom :
            is(m->name, "left") ? phone.left : is(m->name, "right") ? phone.right : 0;
    return 0;
}
static int get_static_int(void *e, Object *it, Member *m) { return is(m->name, "SDK_INT") ? 34 : 1; }
static void *get_static(void *e, Object *it, Member *m) { return object("java/lang/String", m->name); }
static void *new_utf(void *e, const char *bytes) { return object("java/lang/String", bytes); }
static int utf_length(void *e, void *it) { return strlen(text(it)); }
static const char *utf(void *e, void *it, uint8_t *copy) { if (copy) *copy = 0; return text(it); }
static void release(void *e, void *it, const char *bytes) {}
static int register_natives(void *e, void *cls, const struct { const char *name, *sig; void *call; } *list, int n) {
    for (int i = 0; i < n; i++) {
        snprintf(natives[native_count].name, 64, "%s", list[i].name);
        natives[native_count++].call = list[i].call;
    }
    return 0;
}
static int get_vm(void *e, void **vm) { *vm = &the_vm; return 0; }
static void *new_buffer(void *e, void *bytes, long size) {
    Object *it = object("java/nio/DirectByteBuffer", "");
    it->bytes = bytes, it->size = size;
    return it;
}
static int ref_type(void *e, void *it) { return it ? 2 : 0; }

static __thread int attached;
static int get_env(void *vm, void **env, int v) { *env = attached ? &the_env : 0; return attached ? 0 : -2; }
static int attach(void *vm, void **env, void *args) { attached = 1; *env = &the_env; return 0; }
static int detach(void *vm) { attached = 0; return 0; }

void *jvm_native(const char *name) {
    for (int i = 0; i < native_count; i++) if (is(natives[i].name, name)) return natives[i].call;
    return 0;
}
void *jvm_env(void) { return &the_env; }
void *jvm_object(const char *cls) { return object(cls, ""); }

void *jvm_start(FILE *log) {
    jvm_log = log;
    attached = 1;
    for (int i = 0; i < 240; i++) env_table[i] = unknown;
    for (int i = 0; i < 8; i++) vm_table[i] = unknown;
    /* numbers as in the JNI specification, chapter 4 */
    static const struct { int at; void *call; } list[] = {
        {4, version}, {6, find_class}, {10, null}, {11, yes}, {15, null}, {16, none}, {17, none}, {19, push_frame},
        {20, pop_frame}, {21, same}, {22, none}, {23, none}, {24, same_object}, {25, same}, {26, push_frame},
        {30, new_object}, {31, class_of}, {32, yes}, {33, member}, {36, call_l}, {39, call_z}, {51, call_i},
        {57, call_f}, {63, call_v}, {94, member}, {100, get_int}, {113, member}, {116, call_l}, {119, call_z},
        {131, call_i}, {143, call_v}, {144, member}, {145, get_static}, {150, get_static_int}, {167, new_utf},
        {168, utf_length}, {169, utf}, {170, release}, {215, register_natives}, {219, get_vm}, {226, same}, {227, none},
        {228, no}, {229, new_buffer}, {232, ref_type},
    };
    for (unsigned i = 0; i < sizeof list / sizeof *list; i++) env_table[list[i].at] = list[i].call;
    vm_table[4] = attach, vm_table[5] = detach, vm_table[6] = get_env, vm_table[7] = attach;
    return &the_vm;
}
