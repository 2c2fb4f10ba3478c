# Loads the library that is in the package under qemu, with stand-ins for the system (emulated/).

em=$work/em
cross=/usr/aarch64-linux-gnu

stand_ins() {
    local common="--target=aarch64-linux-gnu -isystem $cross/include --ld-path=/usr/bin/ld.lld-19 -nostdlib -fPIC -O1"
    local lib=$cross/lib c=$here/emulated
    rm -rf "$em/lib" && mkdir -p "$em/lib" && pushd "$em" >/dev/null || return
    clang-19 $common -shared -Wl,-soname,libc.so "$c/bionic.c" -o lib/libc.so $lib/libc.so.6 $lib/libc_nonshared.a &&
        clang-19 $common -shared -Wl,-soname,liblog.so "$c/log.c" -o lib/liblog.so $lib/libc.so.6 &&
        clang-19 $common -shared -Wl,-soname,libandroid.so "$c/android.c" -o lib/libandroid.so $lib/libc.so.6 &&
        echo 'int nothing;' >nothing.c &&
        clang-19 $common -shared -Wl,-soname,libm.so nothing.c -o lib/libm.so -Wl,--no-as-needed $lib/libm.so.6 &&
        clang-19 $common -shared -Wl,-soname,libdl.so nothing.c -o lib/libdl.so -Wl,--no-as-needed $lib/libc.so.6 &&
        clang-19 $common "$c/main.c" "$c/jvm.c" $lib/Scrt1.o $lib/crti.o $lib/crtn.o -pie -o main \
            -Wl,-dynamic-linker,/lib/ld-linux-aarch64.so.1 -Llib -l:libandroid.so -l:liblog.so $lib/libc.so.6 &&
        popd >/dev/null
}

phone_run() {
    timeout 600 qemu-aarch64-static -L $cross -E LD_LIBRARY_PATH="$em/lib:$cross/lib" "$em/main" "$@"
}

# The desktop's side: the demo's house, its bundle, and a walk through the window with the pixels of every page. With the
# features of tests/run, so that what that compiled is used again.
stage() {
    stand_ins && cd "$root" || return
    rm -rf "$em/stage" && mkdir -p "$em/stage/frames" || return
    JOISTLIGHT_PHONE=$em/stage cargo test --quiet --all-features --test screens the_walk_for_the_real_library || return
    [ -s "$em/stage/walk.txt" ] && [ -s "$em/stage/later.txt" ] && [ -s "$em/stage/desktop.zip" ]
}

same_bundle() {
    local out=$em/stage/out
    mkdir -p "$out"
    phone_run "$so" proof "$em/stage/core-data" "$out" || return
    [ "$(ls "$out" | wc -l)" = 1 ] || { ls "$out"; return 1; }
    cmp "$out"/*.zip "$em/stage/desktop.zip" || return
    echo ": $(stat -c %s "$em/stage/desktop.zip") bytes, SHA-256 $(sha256sum <"$em/stage/desktop.zip" | cut -c1-16)…"
}

# A line that the run must have told.
told() { grep -q -e "$1" "$em/$2.log" || { echo "“$1” was not told:"; tail -n 40 "$em/$2.log"; return 1; }; }

# How many pictures the survey on the emulated phone has.
pictures() {
    python3 - "$1" <<'P'
import glob, json, sys
[file] = glob.glob(sys.argv[1] + "/surveys/*/survey.json")
print(len(json.load(open(file))["photos"]))
P
}

life() {
    local data=$em/stage/phone-data token before
    before=$(pictures "$data") || return
    cd "$em/stage/frames" || return
    # The walk, up to the camera; then the system ends the program while the camera is in front.
    {
        printf '%s\n' 'density 160' create start resume 'window 412 915' 'focus 1' settle
        cat ../walk.txt
        printf '%s\n' 'focus 0' pause save stop unwindow die
    } | phone_run "$so" walk "$data" >"$em/first.log" 2>&1 || { tail -n 40 "$em/first.log"; return 1; }
    told '^did unwindow' first && told '^\[java\] fetch 0 ' first || return
    token=$(sed -n 's/^\[java\] fetch 0 //p' "$em/first.log" | tail -n 1)
    [ -s "$data/arrivals/$token.errand.json" ] || { echo 'the errand is not on the disk'; return 1; }
    # The camera writes; nobody is there to be told.
    cp "$em/stage/camera.jpg" "$data/arrivals/$token.part" || return
    # Another phone's way of beginning: bars that cover something, a hole at the side of a turned phone. Then what the
    # desktop wrote down, of which the first frames cannot be shown: a turn, half a screen, day, the keyboard. An
    # activity that is made anew in the same process, and the back key until it leads out.
    {
        printf '%s\n' 'insets 24 16' create start resume 'window 412 915' 'focus 1' settle 'snap again.ppm' \
            'insets 0 0 30 40' 'resize 915 412' configured settle 'snap sides.ppm' 'insets 0 0' 'refuse 3'
        cat ../later.txt
        printf '%s\n' pause save stop unwindow destroy \
            create start resume 'window 412 915' 'focus 1' settle 'snap anew.ppm' back settle back settle back settle \
            back settle back settle 'snap left.ppm' pause stop unwindow destroy
    } | phone_run "$so" walk "$data" >"$em/second.log" 2>&1 || { tail -n 40 "$em/second.log"; return 1; }
    told '^finished: ' second || return
    ! grep -e 'panicked' "$em/first.log" "$em/second.log" || return
    # The picture is in the survey, once, and the tray is empty.
    [ "$(pictures "$data")" = $((before + 1)) ] || { echo "$(pictures "$data") pictures, $before before"; return 1; }
    [ -z "$(ls "$data/arrivals")" ] || { ls "$data/arrivals"; return 1; }
    # Taken as long as there is a page to go back to, then left to the system.
    told '^back was taken' second && [ "$(grep '^back was' "$em/second.log" | tail -n 1)" = 'back was left to the system' ] ||
        { grep '^back was' "$em/second.log"; return 1; }
    [ "$(grep -c 'a frame is refused' "$em/second.log")" = 3 ] || { echo 'no frame was refused'; return 1; }
    # Under the bars and beside the hole it is black, and nowhere else.
    python3 - again.ppm anew.ppm sides.ppm <<'P'
import sys
def rows(file):
    data = open(file, "rb").read()
    head, body = data.split(b"\n", 1)
    w, h = map(int, head.split()[1:3])
    return [body[y * w * 3:(y + 1) * w * 3] for y in range(h)]
barred, plain, sides = map(rows, sys.argv[1:])
black = lambda row: not any(row)
assert all(map(black, barred[:24])) and all(map(black, barred[-16:])), "the bars are not on black"
assert not black(barred[24]) and not black(plain[0]) and not black(plain[-1]), "black where no bar is"
column = lambda x: b"".join(row[x * 3:x * 3 + 3] for row in sides)
wide = len(sides[0]) // 3
hidden = [x for x in range(wide) if black(column(x))]
assert hidden == [*range(30), *range(wide - 40, wide)], f"black columns: {hidden}"
P
}

same_pages() {
    cd "$root" && JOISTLIGHT_PHONE=$em/stage cargo test --quiet --all-features --test screens the_real_librarys_pages \
        -- --nocapture || return
}
