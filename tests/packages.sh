#!/usr/bin/env bash
# The Debian packages that the program and its tests need. `packages.sh program` installs what the
# program lacks, `packages.sh` what the tests lack besides; without apt they print the list and go
# on. `packages.sh long` adds what the checks of tests/long lack. With `--list` they only print it.
set -euo pipefail

program=(
    cmake g++ make pkg-config
    fonts-dejavu-core # words on pictures
    libcli11-dev     # command line
    libdeflate-dev   # compression of PNG files
    libcsv-dev       # paths of one's own
    libembree-dev    # where a ray meets a surface
    liberfa-dev      # where sun, moon and stars stand
    libfmt-dev       # text
    libgeographiclib-dev # latitude and longitude to metres
    libglm-dev       # vectors
    libkissfft-dev   # Fourier transforms, for the lens's star
    libopenexr-dev   # layers
    libpugixml-dev   # figures and paths in XML
    libstb-dev       # PNG and HDR files, letters
    libtbb-dev       # threads
    libtiff-dev      # 16-bit pictures
    libtinyobjloader-dev  # meshes
    libtomlplusplus-dev   # scene files
    nlohmann-json3-dev    # reports
)
tests=(
    doctest-dev      # test cases
    libcairo2-dev    # a second flattening of curves
    libexpat1-dev    # a second reader of XML
    libpng-dev       # a second reader of PNG files
    zlib1g-dev       # a second check sum of PNG chunks
    libnova-dev      # a second ephemeris
    libbenchmark-dev # speed
)
long=(
    gdal-bin         # a second reader of paths
)

packages=("${program[@]}" "${tests[@]}")
list=no
for word in "$@"; do
    case $word in
    program) packages=("${program[@]}") ;;
    long) packages+=("${long[@]}") ;;
    --list) list=yes ;;
    *)
        echo "packages.sh does not know \"$word\"; it knows: program, long, --list" >&2
        exit 2
        ;;
    esac
done
if [ $list = yes ]; then
    printf '%s\n' "${packages[@]}"
    exit 0
fi

if ! command -v apt-get >/dev/null || ! command -v dpkg-query >/dev/null; then
    echo "There is no apt here. Lampflight needs what Debian calls:" >&2
    printf '  %s\n' "${packages[@]}" >&2
    exit 0
fi

missing=()
for package in "${packages[@]}"; do
    status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
    [ "$status" = installed ] || missing+=("$package")
done
if [ ${#missing[@]} -eq 0 ]; then exit 0; fi

as_root=()
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
        echo "Missing packages, and neither root nor sudo to install them with. As root, run:" >&2
        echo "  apt-get install ${missing[*]}" >&2
        exit 1
    fi
    as_root=(sudo)
fi

install_missing() {
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y --no-install-recommends "${missing[@]}"
}

log=$(mktemp)
trap 'rm -f "$log"' EXIT
echo "Installing ${missing[*]}" >&2
# The package lists of a fresh machine are empty or old; fetch them only then.
if install_missing >"$log" 2>&1; then exit 0; fi
if ! "${as_root[@]}" apt-get update >"$log" 2>&1 || ! install_missing >>"$log" 2>&1; then
    cat "$log" >&2
    echo "The packages could not be installed; the reason stands above." >&2
    exit 1
fi
