/* What the driver says to the stand-in for a Java machine. */
#include <stdint.h>
#include <stdio.h>
/* how the phone is set up, and what its bars cover */
struct Phone { int percent, night, camera, top, bottom, left, right; char locale[16]; };
extern struct Phone phone;
void *jvm_start(FILE *log);
void *jvm_env(void);
void *jvm_object(const char *cls);
/* a function that the library gave to a class */
void *jvm_native(const char *name);
