#!/bin/sh
# Puts the newest copy in the folder $1 back into a scratch place, with the clinic's own keys, and looks into it.
# Nothing of the running clinic is touched. Ends with 1 when a copy could not be used.
set -eu
newest=$(find "$1" -maxdepth 1 -name 'holdlower-*Z.sqlite' | sort | tail -n 1)
if [ -z "$newest" ]; then
    echo "there is no copy in $1: run holdlower backup $1" >&2
    exit 1
fi
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
HOLDLOWER_DATABASE=$scratch/holdlower.sqlite
export HOLDLOWER_DATABASE
holdlower restore "$newest" > /dev/null
holdlower staff > /dev/null
holdlower notices > /dev/null
echo "$newest was put back and read"
