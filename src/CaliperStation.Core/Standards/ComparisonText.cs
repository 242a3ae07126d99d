using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>A comparison as a file writes it: a sign, then what is compared with, such as <c>&gt;= 1/3</c>.</summary>
internal static class ComparisonText
{
    private static readonly (string Sign, Comparison Comparison)[] Signs =
        [(">=", Comparison.AtLeast), ("<=", Comparison.AtMost), (">", Comparison.More), ("<", Comparison.Less), ("=", Comparison.Equal)];

    /// <summary>The sign and the text after it; null when no sign stands first.</summary>
    internal static (Comparison Comparison, TomlText Against)? Split(TomlNode node)
    {
        if (node is not TomlText text)
        {
            return null;
        }

        foreach ((string sign, Comparison comparison) in Signs)
        {
            if (text.Value.StartsWith(sign, StringComparison.Ordinal))
            {
                int from = sign.Length;
                while (from < text.Value.Length && text.Value[from] == ' ')
                {
                    from++;
                }

                return (comparison, text.After(from));
            }
        }

        return null;
    }
}
