#!/usr/bin/env bash
# Builds Lampflight and renders the scenes of this folder into pictures/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
source tests/build.sh

echo "1. Packages"
tests/packages.sh program
echo "2. Building into build/ (a minute or two the first time)"
build_program build lampflight -DCMAKE_BUILD_TYPE=Release -DLAMPFLIGHT_TESTS=OFF

echo "3. Rendering into pictures/"
mkdir -p pictures
for scene in scenes/*.toml; do
    name=$(basename "$scene" .toml)
    build/lampflight render "$scene" -o "pictures/$name.png" --quality good
done

cat <<TEXT

The pictures are in $PWD/pictures
Next, for example:
  build/lampflight check scenes/ruin-sweep.toml
  build/lampflight meter scenes/ruin-sweep.toml
  build/lampflight start halo -o my-halo.toml
  build/lampflight render my-halo.toml -o pictures/my-halo.png --set camera.iso=800
TEXT
