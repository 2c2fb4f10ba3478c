# Puts the package together, signs it, and looks at what came of it.

apk=$work/joistlight.apk
framework=/usr/share/android-framework-res/framework-res.apk
phone=$root/src/android

dex() {
    rm -rf "$work/java" && mkdir -p "$work/java" || return
    javac -Xlint:-options -Werror -source 8 -target 8 -cp "$jar" -d "$work/java" "$phone"/*.java &&
        java -cp "$r8" com.android.tools.r8.D8 --release --min-api 26 --lib "$jar" --output "$work/java" \
            "$work"/java/joistlight/phone/*.class || return
    # What the glue names stands in the manifest.
    local class
    for class in Front Shelf; do
        grep -q "android:name=\"joistlight.phone.$class\"" "$phone/AndroidManifest.xml" &&
            grep -a -q "Ljoistlight/phone/$class;" "$work/java/classes.dex" || { echo "no $class"; return 1; }
    done
    echo ": $(stat -c %s "$work/java/classes.dex") bytes"
}

pack() {
    local d=$work/pack version ks=${JOISTLIGHT_KEYSTORE:-$work/try.keystore} pass=${JOISTLIGHT_KEYSTORE_PASS:-joistlight}
    version=$(sed -n 's/^version = "\(.*\)"/\1/p' "$root/Cargo.toml" | head -n 1)
    rm -rf "$d" && mkdir -p "$d/lib/arm64-v8a" || return
    local code
    code=$(awk -F. '{ print $1 * 1000000 + $2 * 1000 + $3 }' <<<"$version")
    aapt2 compile --dir "$phone/res" -o "$d/res.zip" &&
        aapt2 link -o "$d/base.apk" -I $framework --manifest "$phone/AndroidManifest.xml" --min-sdk-version 26 \
            --target-sdk-version 34 --version-code "$code" --version-name "$version" "$d/res.zip" || return
    cp "$so" "$d/lib/arm64-v8a/libjoistlight.so" && cp "$work/java/classes.dex" "$d/" || return
    (cd "$d" && zip -q -X base.apk classes.dex lib/arm64-v8a/libjoistlight.so) &&
        zipalign -f -p 4 "$d/base.apk" "$d/aligned.apk" || return
    # A key for trying out, made here and good for nothing else; a shop's own is named by JOISTLIGHT_KEYSTORE.
    [ -f "$ks" ] || keytool -genkeypair -keystore "$ks" -storepass "$pass" -keypass "$pass" -alias joistlight \
        -keyalg RSA -keysize 2048 -validity 10000 -dname 'CN=joistlight for trying out' || return
    JOISTLIGHT_KEYSTORE_PASS=$pass apksigner sign --ks "$ks" --ks-pass env:JOISTLIGHT_KEYSTORE_PASS \
        --ks-key-alias "${JOISTLIGHT_KEY:-joistlight}" --out "$apk" "$d/aligned.apk" || return
    echo ": $(stat -c %s "$apk") bytes"
}

signature() {
    local told
    told=$(apksigner verify -v "$apk") || { echo "$told"; return 1; }
    local version
    for version in v2 v3; do
        grep -q "^Verified using $version scheme .*: true" <<<"$told" || { echo "$told"; return 1; }
    done
}

# A fact that must stand in what aapt tells of the package.
fact() { grep -q -e "$1" <<<"$told" || { echo "not there: $1"; echo "$told"; return 1; }; }

manifest() {
    local told tree
    told=$(aapt dump badging "$apk" && aapt dump permissions "$apk") || return
    ! grep -E 'uses-permission|^permission|uses-implied' <<<"$told" || { echo 'it asks for a permission'; return 1; }
    fact "^package: name='joistlight.phone' " && fact "^sdkVersion:'26'" && fact "^targetSdkVersion:'34'" &&
        fact "^application-label:'joistlight survey'" && fact "^application-label-es:'joistlight visita'" &&
        fact "^native-code: 'arm64-v8a'$" && fact "^application-icon-160:'res/.*icon" &&
        fact "launchable-activity: name='joistlight.phone.Front'" || return
    ! fact '^application-debuggable' >/dev/null || { echo 'it can be debugged'; return 1; }
    tree=$(aapt dump xmltree "$apk" AndroidManifest.xml) || return
    told=$tree
    fact 'android:allowBackup(.*)=(type 0x12)0x0' && fact 'android:hasCode(.*)=(type 0x12)0xffffffff' &&
        fact 'android:extractNativeLibs(.*)=(type 0x12)0xffffffff' || return
    # The window reaches beside the camera's hole only from API 30 on, where it is told where that is.
    tree=$(aapt2 dump resources "$apk" | awk '/^ +\(/ { config = $1 } /0x01010586=/ { print config, $1 }')
    [ "$tree" = '(v30) 0x01010586=1' ] || { echo "layout beside the hole: $tree"; return 1; }
    tree=$told
    # The activity is let in to, the provider is not.
    [ "$(grep -c 'android:exported(.*)=(type 0x12)0xffffffff' <<<"$tree")" = 1 ] &&
        [ "$(grep -c 'android:exported(.*)=(type 0x12)0x0' <<<"$tree")" = 1 ] || { echo "$tree"; return 1; }
}

contents() {
    local list size
    list=$(unzip -Z1 "$apk") || return
    [ "$(grep -c '^lib/' <<<"$list")" = 1 ] && grep -qx lib/arm64-v8a/libjoistlight.so <<<"$list" &&
        grep -qx classes.dex <<<"$list" || { echo "$list"; return 1; }
    unzip -p "$apk" lib/arm64-v8a/libjoistlight.so | cmp - "$so" || return
    # The library asks for pages of 16 KiB as newer phones have them, and says that it is for arm64.
    llvm-readelf-19 -h "$so" | grep -q 'Machine: *AArch64' || return
    ! llvm-readelf-19 -lW "$so" | awk '$1 == "LOAD" { print $NF }' | grep -vx 0x4000 || return
    zipalign -c -p 4 "$apk" || return
    size=$(stat -c %s "$apk")
    [ "$size" -le $apk_most ] || { echo "$size bytes; $apk_most are the most"; return 1; }
    echo ": $size bytes"
}
