# Links the library for a phone with Debian's compiler, clang and lld, against stubs of the system's libraries.

so=$work/target/aarch64-linux-android/release/libjoistlight.so
stubs=$work/stubs
# The phone is given this much of the library and of the package at most.
so_most=$((32 << 20))
apk_most=$((15 << 20))

# A library of names only for each list in stubs/: `-z defs` then names whatever else is asked of the system.
stub_libraries() {
    local lib name
    rm -rf "$stubs" && mkdir -p "$stubs" || return
    for lib in c m dl log android; do
        {
            printf -- '--- !ifs-v1\nIfsVersion: 3.0\nSoName: lib%s.so\nTarget: aarch64-linux-android\nSymbols:\n' $lib
            while read -r name; do printf '  - { Name: %s, Type: Func }\n' "$name"; done <"$here/stubs/$lib.txt"
            [ $lib != c ] || printf '  - { Name: %s, Type: Object, Size: 8 }\n' __stack_chk_guard stderr
            echo ...
        } >"$stubs/$lib.ifs"
        llvm-ifs-19 --output-elf="$stubs/lib$lib.so" "$stubs/$lib.ifs" || return
    done
    # Debian's unwinder was made for another C library: four names that it asks of that one, in terms of the phone's.
    clang-19 --target=aarch64-linux-android26 -O2 -fPIC -ffreestanding -fvisibility=hidden \
        -c "$here/glibc2bionic.c" -o "$stubs/g2b.o" &&
        install -m644 "$dl/root/usr/lib/llvm-19/lib/libunwind.a" "$stubs/libunwind.a" &&
        llvm-ar-19 rs "$stubs/libunwind.a" "$stubs/g2b.o" || return
    # Functions that compile to the same code are kept once: generated pages and generics have thousands of them.
    cat >"$stubs/cc" <<L
#!/bin/sh
exec /usr/bin/clang-19 --target=aarch64-linux-android26 --ld-path=/usr/bin/ld.lld-19 -nostdlib -L$stubs \\
  -Wl,-z,defs -Wl,--no-dependent-libraries -Wl,--exclude-libs,libunwind.a -Wl,-z,max-page-size=16384 -Wl,--icf=all -Wl,-O2 -Wl,--strip-all "\$@"
L
    chmod +x "$stubs/cc"
}

# Cargo.lock is written anew where Skia's place is taken, so that it is built in a copy of the tree. Only what has changed
# is copied, and is as new as the copy: a file that was edited while an earlier build ran is not taken for an old one.
copy_tree() {
    local tree=$work/tree file parts='src ui tests build.rs Cargo.toml'
    mkdir -p "$tree" && cp "$root/Cargo.lock" "$tree/" || return
    (cd "$root" && find $parts -type f | sort) >"$work/tree.now" || return
    [ ! -d "$tree/src" ] || (cd "$tree" && find $parts -type f | sort) |
        comm -23 - "$work/tree.now" | while read -r file; do rm "$tree/$file"; done
    while read -r file; do
        cmp -s "$root/$file" "$tree/$file" || { mkdir -p "$tree/$(dirname "$file")" && cp "$root/$file" "$tree/$file"; } || return
    done <"$work/tree.now"
}

link() {
    stub_libraries && copy_tree || return
    local start=$SECONDS size
    (cd "$work/tree" && env -u RUSTUP_TOOLCHAIN -u RUSTFLAGS PATH=/usr/bin:/bin RUSTC=/usr/bin/rustc \
        RUSTDOC=/usr/bin/rustdoc RUSTC_BOOTSTRAP=1 CARGO_TARGET_DIR="$work/target" JAVA_HOME="$JAVA_HOME" \
        ANDROID_JAR="$jar" ANDROID_D8_JAR="$r8" CARGO_TARGET_AARCH64_LINUX_ANDROID_LINKER="$stubs/cc" \
        CARGO_PROFILE_RELEASE_PANIC=abort \
        /usr/bin/cargo build --release --lib --no-default-features --features ui \
        -Z build-std=std,panic_abort --target aarch64-linux-android \
        --config "patch.crates-io.i-slint-renderer-skia.path=\"$here/skia-shim\"") || return
    size=$(stat -c %s "$so") || return
    [ "$size" -le $so_most ] || { echo "$so has $size bytes; $so_most are the most"; return 1; }
    echo ": $size bytes"
}

# The linker refused what is in no list already; this looks at the finished library once more, by itself.
symbols() {
    local asked unknown needed
    needed=$(llvm-readelf-19 -d "$so" | sed -n 's/.*(NEEDED).*\[\(.*\)\]/\1/p' | sort | tr '\n' ' ')
    [ -z "$(tr ' ' '\n' <<<"$needed" | grep -vxE 'lib(android|c|dl|log|m)\.so|')" ] || { echo "it needs $needed"; return 1; }
    # What is asked for weakly may be missing: the standard library looks whether it is there before it calls it.
    asked=$(llvm-nm-19 --dynamic --undefined-only "$so" | awk '$1 == "U" { print $2 }' | sort -u)
    unknown=$(comm -23 <(echo "$asked") <(cat "$here"/stubs/*.txt <(printf '%s\n' __stack_chk_guard stderr) | sort -u))
    [ -z "$unknown" ] || { echo "in no list of the system's public names:" $unknown; return 1; }
    echo ": $(wc -l <<<"$asked") names of $needed"
}

no_office() {
    # By names in the tree of crates, and by words that the office's libraries carry in them.
    local tree found
    tree=$(cd "$work/tree" && cargo tree --offline -e normal --no-default-features --features ui \
        --target aarch64-linux-android --prefix none \
        --config "patch.crates-io.i-slint-renderer-skia.path=\"$here/skia-shim\"" | sort -u)
    grep -q '^slint ' <<<"$tree" || { echo 'the list of crates could not be had'; return 1; }
    found=$(grep -E '^(rusqlite|libsqlite3-sys|postgres|tokio|clap|krilla|csv|skia-safe|skia-bindings|winit) ' <<<"$tree")
    [ -z "$found" ] || { echo "it has $found"; return 1; }
    found=$(grep -a -c -E 'SQLite format 3|sqlite3_|PostgreSQL|password authentication' "$so")
    [ "$found" = 0 ] || { echo 'words of a database are in it'; return 1; }
}
