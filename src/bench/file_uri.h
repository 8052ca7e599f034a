// File addresses (RFC 8089) and lists of them (text/uri-list, RFC 2483), with names in percent-encoding (RFC 3986, section 2.1).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boardlore {

// Every byte but the unreserved characters of RFC 3986 (2.3) and the slash between segments becomes %XX, in capitals. Names are
// bytes, UTF-8 as a rule; what is none goes through unharmed.
std::string percent_encoded_path(std::string_view path);
// nullopt: a percent sign without two hexadecimal digits, or a zero byte that would cut the name short.
std::optional<std::string> percent_decoded(std::string_view text);

// "file:///home/ann/U5%20top.jpg". A relative path counts from the working folder: whoever reads the address has another one.
std::string file_uri(const std::filesystem::path& path);
// A line each, ended by CR LF.
std::string uri_list(const std::vector<std::filesystem::path>& files);

}  // namespace boardlore
