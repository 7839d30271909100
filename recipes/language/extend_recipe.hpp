// A recipe based on another: the base's tree with the changes laid over it, before anything is
// read. Each value keeps its place, so that a problem is told where its author wrote it.
//
//   based_on = "family.toml"    # from this file's folder; the base may have one in turn
//   [[step]]                    # a step that the base has: its keys win, tables go on below
//   name = "noise"
//   scans = 128
//   [[step]]                    # one that it lacks: at the end, or before or after another
//   do = "noise"
//   name = "noise, warm"
//   after = "gain and offset"
//   [[step]]
//   name = "touch response"
//   drop = true
//
// name and revision are never taken over: a recipe of its own has its own. Pure but for `fetch`.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "recipes/document/document.hpp"

namespace padtrim::language {

// The text of another file; nothing when it cannot be read.
using Fetch = std::function<std::optional<std::string>(const std::string& path)>;

// Lays the document over its bases. False when a base could not be had at all; the document says
// why, and nothing more can be said about it.
[[nodiscard]] bool follow_bases(document::Document& document, const Fetch& fetch);

// A path as a document names it, from the folder of that document's file.
[[nodiscard]] std::string beside(const std::string& file, const std::string& path);

}  // namespace padtrim::language
