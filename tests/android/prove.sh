# Loads the library that is in the package under qemu, with stand-ins for the system (emulated/).

em=$work/em
cross=/usr/aarch64-linux-gnu

stand_ins() {
    local common="--target=aarch64-linux-gnu -isystem $cross/include --ld-path=/usr/bin/ld.lld-19 -nostdlib -fPIC -O1"
    local lib=$cross/lib c=$here/emulated
    rm -rf "$em/lib" && mkdir -p "$em/lib" && cd "$em" || return
    clang-19 $common -shared -Wl,-soname,libc.so "$c/bionic.c" -o lib/libc.so $lib/libc.so.6 $lib/libc_nonshared.a &&
        clang-19 $common -shared -Wl,-soname,liblog.so "$c/log.c" -o lib/liblog.so $lib/libc.so.6 &&
        clang-19 $common -shared -Wl,-soname,libandroid.so "$c/android.c" -o lib/libandroid.so $lib/libc.so.6 &&
        echo 'int nothing;' >nothing.c &&
        clang-19 $common -shared -Wl,-soname,libm.so nothing.c -o lib/libm.so -Wl,--no-as-needed $lib/libm.so.6 &&
        clang-19 $common -shared -Wl,-soname,libdl.so nothing.c -o lib/libdl.so -Wl,--no-as-needed $lib/libc.so.6 &&
        clang-19 $common "$c/main.c" "$c/jvm.c" $lib/Scrt1.o $lib/crti.o $lib/crtn.o -pie -o main \
            -Wl,-dynamic-linker,/lib/ld-linux-aarch64.so.1 -Llib -l:libandroid.so -l:liblog.so $lib/libc.so.6
}

phone_run() {
    timeout 600 qemu-aarch64-static -L $cross -E LD_LIBRARY_PATH="$em/lib:$cross/lib" "$em/main" "$@"
}
