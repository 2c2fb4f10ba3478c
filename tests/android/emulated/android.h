/* What the driver says to the stand-in for libandroid. */
#include <stdint.h>

typedef struct Event { int type, source, action, keycode, handled; float x, y; struct Event *next; } Event;
typedef struct Queue Queue;
typedef struct Window Window;

void phone_is(int density, int night);
Queue *queue_new(void);
/* waits until it was dealt with; whether it was handled */
int queue_do(Queue *, Event);
Window *window_new(int w, int h);
void window_resize(Window *, int w, int h);
/* frames posted so far */
int window_frames(Window *);
int window_write(Window *, const char *file);
/* so many of the next frames cannot be shown */
void window_refuse(Window *, int frames);
int32_t ANativeWindow_getWidth(Window *), ANativeWindow_getHeight(Window *);
int activity_finished(void);
