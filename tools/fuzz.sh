#!/bin/sh
# Runs every fuzz target of the project for FUZZTIME each. Fails where one finds something, or where none is found.
set -eu
GO=${GO:-go}
FUZZTIME=${FUZZTIME:-20s}
found=0
for package in $($GO list ./...); do
	for target in $($GO test -list '^Fuzz' "$package" | grep '^Fuzz' || true); do
		found=$((found + 1))
		echo "$package $target for $FUZZTIME"
		$GO test -run '^$' -fuzz "^$target\$" -fuzztime "$FUZZTIME" "$package"
	done
done
if [ "$found" -eq 0 ]; then
	echo "error: no fuzz target was found"
	exit 1
fi
echo "$found fuzz targets ran"
