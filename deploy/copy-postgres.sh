#!/bin/sh
# A copy of the PostgreSQL database in the folder $1, the newest $KEEP of them kept; on the first of a month it is also
# put back into a database beside it and counted. The database is the one that PGHOST, PGUSER and PGDATABASE name.
set -eu
folder=$1
umask 077
if [ -n "${PASSWORD_FILE:-}" ]; then
    PGPASSWORD=$(cat "$PASSWORD_FILE")
    export PGPASSWORD
fi

file=$folder/holdlower-$(date -u +%Y%m%dT%H%M%SZ).dump
pg_dump --format=custom --file="$file.part"
pg_restore --list "$file.part" > /dev/null
mv "$file.part" "$file"
echo "made: $file"

if [ "$(date -u +%d)" = 01 ] || [ "${TEST_RESTORE:-}" = yes ]; then
    test_database=holdlower_restore_test
    dropdb --if-exists "$test_database"
    createdb "$test_database"
    pg_restore --exit-on-error --no-owner --dbname="$test_database" "$file"
    people=$(psql --tuples-only --no-align --dbname="$test_database" --command='SELECT count(*) FROM people')
    dropdb "$test_database"
    echo "put back and counted: patients: $people"
fi

# names sort by their moment
find "$folder" -maxdepth 1 -name 'holdlower-*Z.dump' | sort -r | tail -n "+$((${KEEP:-14} + 1))" | while read -r old; do
    rm -- "$old"
    echo "deleted: $old"
done
