// Fields as the members of a JSON Schema object: the fourth thing that a layout is described to,
// after reading, writing and the reference.
#pragma once

#include <string>
#include <vector>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "recipes/document/fields.hpp"

namespace padtrim::answers {

// A name as it may stand in a reference: blanks are hyphens.
[[nodiscard]] std::string definition_name(std::string words);

class SchemaFields final : public document::Fields {
  public:
    // Named shapes go to `shapes` and are referred to as #/$defs/NAME.
    explicit SchemaFields(boost::json::object& shapes) : shapes_(shapes) {}

    // An object that has what was described and nothing else.
    [[nodiscard]] boost::json::object take();
    [[nodiscard]] const std::string& shape_name() const { return shape_; }

    void text(const document::Field&, std::string&) override;
    void flag(const document::Field&, bool&) override;
    void whole(const document::Field&, std::int64_t&, const document::Range&) override;
    void real(const document::Field&, double&, const document::Range&) override;
    void quantity(const document::Field&, double&, std::string_view unit,
                  const document::Range&) override;
    void quantities(const document::Field&, std::vector<double>&, std::string_view unit,
                    const document::Range&) override;
    void limit(const document::Field&, document::Limit&, std::string_view unit) override;
    void choice(const document::Field&, std::size_t&, std::span<const std::string_view>) override;
    void choices(const document::Field&, std::vector<std::size_t>&,
                 std::span<const std::string_view>) override;
    void date(const document::Field&, std::string&) override;
    void texts(const document::Field&, std::vector<std::string>&) override;
    void wholes(const document::Field&, std::vector<std::int64_t>&,
                const document::Range&) override;
    void table(const document::Field&, const Describe&) override;
    void tables(const document::Field&, std::size_t, const std::function<void(std::size_t)>&,
                const DescribeItem&) override;
    bool present(std::string_view, bool) override { return true; }
    bool is_text(std::string_view) override { return false; }
    void complain(std::string_view, std::string, std::string) override {}
    [[nodiscard]] bool reading() const override { return false; }
    [[nodiscard]] bool writing() const override { return false; }
    void shape(std::string_view name) override { shape_ = name; }
    void ignore_rest() override {}

  private:
    void put(const document::Field& field, boost::json::object schema);
    void put_text(const document::Field& field, const std::string& pattern);
    [[nodiscard]] boost::json::value below(const Describe& describe);

    boost::json::object& shapes_;
    boost::json::object properties_;
    boost::json::array required_;
    std::string shape_;
};

}  // namespace padtrim::answers
