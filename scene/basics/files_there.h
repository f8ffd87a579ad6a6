// What lies in the folder in which a file was sought in vain.
#pragma once

#include <filesystem>
#include <string>

namespace lampflight {

/// Where a file was looked for, and what files of this extension (".toml") lie there, those with
/// the nearest names first: `looked for in /home/ada/shoot, where there are "halo.toml" and
/// "ring.toml"`. Of a file that is a folder, what lies in it: `it is a folder, in which …`.
std::string looked_for(const std::filesystem::path& file, const std::string& extension);

/// What is at a place where a file of this extension belongs, and where it was looked for: `not
/// there; looked for in …`, `a named pipe, no file; …`. Empty for a plain file.
std::string instead_of_file(const std::filesystem::path& file, const std::string& extension);

/// Those beside a file that is of another kind: `beside it there are "halo.toml" and "ring.toml"`.
std::string beside_it(const std::filesystem::path& file, const std::string& extension);

}  // namespace lampflight
