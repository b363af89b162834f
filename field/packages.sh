# Packages of Debian 12 that building and running need; sourced by field/run and tests/run.
packages_build=(
  g++ cmake ninja-build pkg-config ccache
  libimgui-dev libstb-dev libsdl2-dev libglfw3-dev libfreetype-dev libsqlite3-dev libsodium-dev libssl-dev
  nlohmann-json3-dev libboost-dev libeigen3-dev libtomlplusplus-dev libsimdjson-dev libcli11-dev libgstreamer1.0-dev libgstreamer-plugins-base1.0-dev
  libturbojpeg0-dev libcairo2-dev libzxing-dev doctest-dev
)
packages_run=(
  fonts-b612 fonts-dejavu-core gstreamer1.0-plugins-base gstreamer1.0-plugins-good libgl1 libgl1-mesa-dri
)

# Installs what is missing, and says what. Quick when nothing is.
install_missing() {
  local missing=() package
  for package in "$@"; do
    [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing+=("$package")
  done
  [ ${#missing[@]} -gt 0 ] || return 0
  echo "installing: ${missing[*]}"
  local root=()
  [ "$(id -u)" = 0 ] || root=(sudo)
  "${root[@]}" apt-get update -qq
  DEBIAN_FRONTEND=noninteractive "${root[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}
