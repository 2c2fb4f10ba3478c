# What building for a phone needs: Debian's packages, two of Debian's that cannot simply be installed here, and the
# translator to dex from PyPI. Everything lies in target/phone.
#
# Sets: jar (Android's API), r8, sysroot's files; see link.sh, pack.sh, prove.sh.

dl=$work/dl
jar=$work/android.jar
r8=$dl/r8.jar

packages='gcc libc6-dev rustc-web cargo-web rust-web-src clang-19 lld-19 llvm-19 openjdk-17-jdk-headless python3-pip unzip zip
    aapt zipalign apksigner android-framework-res qemu-user-static libc6-arm64-cross libc6-dev-arm64-cross
    linux-libc-dev-arm64-cross libgcc-s1-arm64-cross'

tools() {
    local missing=() package
    for package in $packages; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
    done
    if [ "${#missing[@]}" -gt 0 ]; then
        local as_root=
        [ "$(id -u)" -eq 0 ] || as_root='sudo -n'
        if ! command -v apt-get >/dev/null || ! $as_root true 2>/dev/null; then
            echo "tests/phone: not installed, and not allowed to install: ${missing[*]}. The phone's app was not built."
            return 1
        fi
        echo "installing ${missing[*]}"
        export DEBIAN_FRONTEND=noninteractive
        if ! { $as_root apt-get update -qq && $as_root apt-get install -y -qq --no-install-recommends "${missing[@]}"; } \
                >"$work/apt.log" 2>&1; then
            tail -n 3 "$work/apt.log"
            echo "tests/phone: this system has not all of: ${missing[*]}. The phone's app was not built."
            return 1
        fi
    fi
    fetched >"$work/fetch.log" 2>&1 || {
        tail -n 3 "$work/fetch.log"
        echo "tests/phone: what it takes from Debian's archive and PyPI cannot be had now. The phone's app was not built."
        return 1
    }
    JAVA_HOME=$(dirname "$(dirname "$(readlink -f /usr/bin/javac)")")
    [ -e "$jar" ] && [ "$jar" -nt "$here/androidjar/AddApi.java" ] || android_jar >"$work/jar.log" 2>&1 || {
        cat "$work/jar.log"
        echo 'tests/phone: the description of the API cannot be made. The phone'"'"'s app was not built.'
        return 1
    }
}

# The unwinder for arm64 (Debian stable), the API of Android 6 (Debian unstable), r8 (inside a wheel): fetched once,
# and only what these sums name.
fetched() (
    [ ! -e "$dl/done" ] || exit 0
    set -e
    local a=$work/apt mirror key='signed-by=/usr/share/keyrings/debian-archive-keyring.gpg'
    mirror=$(sed -n 's/^URIs: *//p' /etc/apt/sources.list.d/debian.sources 2>/dev/null | head -n 1)
    mirror=${mirror:-http://deb.debian.org/debian}
    rm -rf "$dl" "$a"
    mkdir -p "$dl" "$a"/{lists/partial,cache/archives/partial,parts}
    : >"$a/status"
    printf '%s\n' "deb [$key arch=arm64] $mirror bookworm main" "deb [$key arch=amd64] $mirror sid main" >"$a/sources.list"
    cat >"$a/conf" <<A
APT::Architectures { "amd64"; "arm64"; };
APT::Sandbox::User "root";
Dir::State::lists "$a/lists"; Dir::State::status "$a/status"; Dir::Cache "$a/cache";
Dir::Etc::sourcelist "$a/sources.list"; Dir::Etc::sourceparts "$a/parts"; Dir::Etc::preferencesparts "$a/parts";
A
    cd "$dl"
    export APT_CONFIG=$a/conf
    apt-get update -q
    apt-get download libunwind-19-dev:arm64/bookworm libandroid-23-java
    for deb in *.deb; do dpkg -x "$deb" root; done
    /usr/bin/python3 -m pip download -q --no-deps mobsf==3.9.7
    unzip -q -o -p mobsf-*.whl mobsf/StaticAnalyzer/tools/jadx/lib/r8-3.3.75.jar >"$r8"
    sha256sum --quiet -c "$here/sums.txt"
    rm -rf "$a" ./*.deb ./*.whl
    touch done
)

# Android 6's API, and of the later ones what Slint's helper and our glue name.
android_jar() (
    set -e
    rm -rf "$work/cls" && mkdir -p "$work/cls"
    java --add-exports java.base/jdk.internal.org.objectweb.asm=ALL-UNNAMED "$here/androidjar/AddApi.java" \
        "$dl/root/usr/share/java/com.android.android-23.jar" "$work/t.jar"
    javac -nowarn -source 8 -target 8 -cp "$work/t.jar" -d "$work/cls" $(find "$here/androidjar/new" -name '*.java')
    "$JAVA_HOME/bin/jar" uf "$work/t.jar" -C "$work/cls" .
    mv "$work/t.jar" "$jar"
)
