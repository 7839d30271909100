// The words by which documents name the choices; in the order of each enumeration.
#pragma once

#include <string_view>

#include "recipes/document/fields.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::document {

template <>
struct Words<language::DecisionKind> {
    static constexpr std::string_view words[] = {"simple", "guarded"};
};
template <>
struct Words<language::OnFailure> {
    static constexpr std::string_view words[] = {"stop", "go on"};
};
template <>
struct Words<language::TrimTarget> {
    static constexpr std::string_view words[] = {"gain", "touch"};
};
template <>
struct Words<language::Unattended> {
    static constexpr std::string_view words[] = {"no verdict", "yes", "no"};
};
template <>
struct Words<language::Was> {
    static constexpr std::string_view words[] = {"pass", "fail", "inconclusive", "not pass"};
};
template <>
struct Words<language::Need> {
    static constexpr std::string_view words[] = {
        "finger",  "contact references", "climate", "guard", "emergency stop",
        "handler", "bonded return path"};
};
template <>
struct Words<language::Expect> {
    static constexpr std::string_view words[] = {"reported", "silent"};
};
template <>
struct Words<language::PlacedBy> {
    static constexpr std::string_view words[] = {"finger", "operator"};
};
template <>
struct Words<language::TargetKind> {
    static constexpr std::string_view words[] = {"conductive", "water"};
};
template <>
struct Words<language::Sensing> {
    static constexpr std::string_view words[] = {"self", "mutual"};
};
template <>
struct Words<language::RegisterTable> {
    static constexpr std::string_view words[] = {"holding", "input", "coil", "discrete"};
};
template <>
struct Words<language::Cell> {
    static constexpr std::string_view words[] = {"u16", "i16",  "u32",  "i32",
                                                 "f32", "bits", "ascii"};
};
template <>
struct Words<language::Order> {
    static constexpr std::string_view words[] = {"high first", "low first"};
};
template <>
struct Words<language::LineEnding> {
    static constexpr std::string_view words[] = {"LF", "CR", "CR LF"};
};
template <>
struct Words<language::KeyKind> {
    static constexpr std::string_view words[] = {"button", "slider", "wheel", "proximity"};
};
template <>
struct Words<language::Parity> {
    static constexpr std::string_view words[] = {"none", "even", "odd"};
};
template <>
struct Words<language::Switching> {
    static constexpr std::string_view words[] = {"one channel", "all channels"};
};
template <>
struct Words<language::Coupling> {
    static constexpr std::string_view words[] = {"contact", "plate"};
};
template <>
struct Words<language::ReturnPath> {
    static constexpr std::string_view words[] = {"bonded", "impedance", "floating"};
};

}  // namespace padtrim::document

namespace padtrim::language {

template <class E>
[[nodiscard]] constexpr std::string_view word_of(E value) {
    return document::Words<E>::words[static_cast<std::size_t>(value)];
}

}  // namespace padtrim::language
