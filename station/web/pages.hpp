// The station's pages as the build embedded them (write_pages.cmake), and how they are answered:
// with an entity tag, and under a policy that lets a page use nothing but what the station serves.
// Pure.
#pragma once

#include <span>
#include <string_view>

#include "station/web/message.hpp"

namespace padtrim::web {

struct Page {
    std::string_view path;  // "/look.css"
    std::string_view type;
    std::string_view etag;  // with its quotation marks
    std::string_view bytes;
};

[[nodiscard]] std::span<const Page> embedded_pages();
// Changes when any page does.
[[nodiscard]] std::string_view pages_version();

// "/" is the operator's page, "/plan" is /plan.html; what is not there is answered with a page that
// leads back, and 404.
[[nodiscard]] Response page_answer(const Request& request);

}  // namespace padtrim::web
