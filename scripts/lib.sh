# Shared by the scripts here: find Python, make an environment once, install into it once, say what is going on.
# Sourced, not run. Leaves the working folder as it was; $ROOT is the repository.

ROOT=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
export PIP_DISABLE_PIP_VERSION_CHECK=1 PIP_NO_INPUT=1 PIP_ROOT_USER_ACTION=ignore PYTHONUTF8=1
unset PYTHONPATH PYTHONHOME

say() { printf '%s\n' "$*" >&2; }

fail() {
    say "$1"
    exit "${2:-2}"
}

# quietly WHAT COMMAND...: one progress line; the command's own words only when it fails.
quietly() {
    local what=$1 log began=$SECONDS status=0 child
    shift
    log=$(mktemp)
    "$@" >"$log" 2>&1 &
    child=$!
    trap 'kill "$child" 2>/dev/null; rm -f "$log"; exit 130' INT TERM
    [ -t 2 ] || say "$what ..."
    while kill -0 "$child" 2>/dev/null; do
        [ -t 2 ] && printf '\r%s ... %d s' "$what" "$((SECONDS - began))" >&2
        sleep 0.5
    done
    wait "$child" || status=$?
    trap - INT TERM
    if [ "$status" -eq 0 ]; then
        if [ -t 2 ]; then printf '\r%s ... done in %d s\n' "$what" "$((SECONDS - began))" >&2; fi
    else
        if [ -t 2 ]; then printf '\r%s ... failed\n' "$what" >&2; else say "$what: failed"; fi
        tail -n 60 "$log" >&2
    fi
    rm -f "$log"
    return "$status"
}

# The newest Python that the package accepts, or the one named in $PYTHON.
find_python() {
    local candidate
    for candidate in ${PYTHON:-python3.13 python3.12 python3.11 python3 python}; do
        if command -v "$candidate" >/dev/null 2>&1 &&
            "$candidate" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' 2>/dev/null &&
            { [ -n "${PYTHON:-}" ] || "$candidate" -c 'import ensurepip, venv' 2>/dev/null; }; then
            command -v "$candidate"
            return
        fi
    done
    return 1
}

explain_no_python() {
    local candidate
    for candidate in ${PYTHON:-python3.13 python3.12 python3.11 python3}; do
        if "$candidate" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' 2>/dev/null; then
            fail "noonwall: $candidate cannot make an environment; install it with:  sudo apt-get install $(basename "$candidate")-venv"
        fi
    done
    fail "noonwall: no Python 3.11, 3.12 or 3.13 found; install one with:  sudo apt-get install python3 python3-venv"
}

# apt_once PROGRAM PACKAGE: install a system package when the scripts run as root; otherwise say what to type.
apt_once() {
    command -v "$1" >/dev/null 2>&1 && return
    if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1; then
        quietly "installing $2 (system package, once)" \
            sh -c "apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $2"
    else
        say "noonwall: $1 is missing; install it with:  sudo apt-get install $2"
        return 1
    fi
}

# need_python: set PYTHON_BIN. As root on Debian a missing python3-venv is installed; anyone else is told the command.
need_python() {
    PYTHON_BIN=$(find_python) && return
    if [ -z "${PYTHON:-}" ] && [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1; then
        quietly "installing python3-venv (system package, once)" sh -c \
            "apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends python3-venv" &&
            PYTHON_BIN=$(find_python) && return
    fi
    explain_no_python
}

# What an installation depends on: the package's metadata, the interpreter, the place, and what was asked for.
stamp_of() {
    { cat "$ROOT/pyproject.toml"; "$PYTHON_BIN" -c 'import sys; print(sys.version)'; printf '%s\n' "$ROOT" "$@"; } |
        sha256sum | cut -c1-32
}

# ready FOLDER WHAT: whether the environment there was finished for exactly this.
ready() {
    [ -x "$1/bin/python" ] && "$1/bin/python" -c '' 2>/dev/null && [ "$(cat "$1/.noonwall-stamp" 2>/dev/null)" = "$2" ]
}

# environment FOLDER WHAT PIP-ARGUMENTS...: make it and install once; later runs need no network.
environment() {
    local folder=$1 what=$2 stamp
    shift 2
    [ -n "${PYTHON_BIN:-}" ] || need_python
    stamp=$(stamp_of "$@")
    ready "$folder" "$stamp" && return
    rm -f "$folder/.noonwall-stamp"
    if ! "$folder/bin/python" -m pip --version >/dev/null 2>&1; then
        rm -rf "$folder"
        quietly "making the environment $(basename "$folder")" "$PYTHON_BIN" -m venv "$folder" ||
            fail "noonwall: could not make $folder; is python3-venv installed and the folder writable?"
    fi
    quietly "$what" "$folder/bin/python" -m pip install "$@" ||
        fail "noonwall: the installation failed (above: pip's last words); the first run needs the package registry"
    printf '%s\n' "$stamp" >"$folder/.noonwall-stamp"
}

user_environment() {
    environment "$ROOT/.venv" "installing noonwall and its libraries (about 150 MB, once)" -e "$ROOT"
}

dev_environment() {
    environment "$ROOT/.venv-test" "installing noonwall with everything the tests need (once)" -e "$ROOT[dev]"
}
