#!/bin/sh
# Writes THIRD_PARTY.md: every module that is linked into the program on any of its systems, and what its page is built with, with its version and the
# text of its licence, from the sources that the build uses.
set -eu
GO=${GO:-go}
out=THIRD_PARTY.md
part=$out.part
trap 'rm -f "$part"' EXIT
$GO mod download
modules=$(for os in linux darwin windows; do
	GOOS=$os $GO list -deps -f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}' ./cmd/emberbank
done | LC_ALL=C sort -u)
page="@fontsource/b612 @fontsource/vollkorn @preact/signals @preact/signals-core preact uplot"
[ -n "$modules" ] || { echo "error: no modules were found"; exit 1; }
{
	echo "# What others wrote"
	echo
	echo "These modules, and Go's own library, are linked into the program. \`make licences\` writes this file."
	printf '%s\n' "go $($GO env GOVERSION) $($GO env GOROOT)" "$modules" | while read -r path version dir; do
		found=no
		printf '\n## %s %s\n' "$path" "$version"
		for file in "$dir"/LICENSE* "$dir"/LICENCE* "$dir"/COPYING* "$dir"/NOTICE*; do
			[ -f "$file" ] || continue
			found=yes
			printf '\n```text\n'
			tr -d '\r' <"$file" | sed 's/[[:space:]]*$//'
			printf '```\n'
		done
		[ "$found" = yes ] || { echo "error: $path has no licence file" >&2; exit 1; }
	done
	printf '%s\n' $page | while read -r name; do
		dir=page/node_modules/$name
		version=$(sed -n 's/^  *"version": "\(.*\)",*$/\1/p' "$dir/package.json" | head -1)
		printf '\n## %s %s (in the page)\n\n```text\n' "$name" "$version"
		tr -d '\r' <"$dir/LICENSE" | sed 's/[[:space:]]*$//'
		printf '```\n'
	done
} >"$part"
mv "$part" "$out"
echo "$out: $(printf '%s\n' "$modules" | wc -l | tr -d ' ') modules"
