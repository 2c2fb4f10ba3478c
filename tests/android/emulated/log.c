/* The system's log, on the stream that the driver keeps for it (the library turns the usual ones into this log). */
#include <stdarg.h>
#include <stdio.h>

FILE *log_out;

int __android_log_write(int priority, const char *tag, const char *text) {
    return fprintf(log_out ? log_out : stderr, "[log %d %s] %s\n", priority, tag ? tag : "", text);
}

int __android_log_print(int priority, const char *tag, const char *format, ...) {
    char text[4096];
    va_list args;
    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    return __android_log_write(priority, tag, text);
}
