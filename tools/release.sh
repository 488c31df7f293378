#!/bin/sh
# Builds one static binary for each system into build/release, with checksums.
set -eu
GO=${GO:-go}
out=build/release
rm -rf "$out"
mkdir -p "$out"
version=$(sed -n 's/^const Version = "\(.*\)"$/\1/p' cli/cli.go)
[ -n "$version" ] || { echo "error: cli/cli.go states no version"; exit 1; }
for os in linux darwin windows; do
	for arch in amd64 arm64; do
		name="emberbank-$version-$os-$arch"
		[ "$os" = windows ] && name="$name.exe"
		echo "$name"
		CGO_ENABLED=0 GOOS=$os GOARCH=$arch $GO build -trimpath -ldflags "-s -w -X emberbank/cli.build=release" \
			-o "$out/$name" ./cmd/emberbank
	done
done
cd "$out"
if command -v sha256sum >/dev/null; then
	sha256sum emberbank-* >SHA256SUMS
else
	shasum -a 256 emberbank-* >SHA256SUMS
fi
cat SHA256SUMS
