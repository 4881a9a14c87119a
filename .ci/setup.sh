# What ./run and ./test share: the Rust they need, and the packages of the system.

# What the window opens at run time (X11 and OpenGL, in software where there is no graphics card).
WINDOW_PACKAGES=(libgl1 libegl1 libgl1-mesa-dri libx11-6 libx11-xcb1 libxcb1 libxcursor1 libxi6
    libxrender1 libxkbcommon0 libxkbcommon-x11-0)

# Stops with one line when Rust is missing or too old.
need_rust() {
    local have
    have=$(rustc --version 2>/dev/null | cut -d ' ' -f 2 | cut -d - -f 1 || true)
    if [[ -z $have || $(printf '1.95.0\n%s\n' "$have" | sort -V | head -n 1) != 1.95.0 ]]; then
        echo "Jarlight needs Rust 1.95 or newer; this machine has ${have:-none} (rustup update stable)." >&2
        exit 2
    fi
}

# Installs the packages that are missing, and says so first.
need_packages() {
    local package missing=() as_root=()
    if ! command -v dpkg-query >/dev/null; then
        echo "This is no Debian-like system, so nothing is installed; needed are: $*" >&2
        return
    fi
    for package in "$@"; do
        if ! dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q '^install ok installed'; then
            missing+=("$package")
        fi
    done
    [[ ${#missing[@]} -gt 0 ]] || return 0
    if [[ $(id -u) -ne 0 ]]; then
        if ! command -v sudo >/dev/null; then
            echo "Missing packages, and no sudo to install them: ${missing[*]}" >&2
            exit 2
        fi
        as_root=(sudo)
    fi
    echo "Installing missing packages: ${missing[*]}" >&2
    "${as_root[@]}" apt-get update -qq >&2
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends "${missing[@]}" >&2
}
