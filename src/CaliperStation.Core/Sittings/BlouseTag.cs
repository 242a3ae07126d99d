using System.Text.RegularExpressions;

namespace CaliperStation.Core.Sittings;

/// <summary>The tag of a blouse.</summary>
public static partial class BlouseTag
{
    /// <summary>A tag is the same in upper and lower case.</summary>
    public static StringComparer Comparer => StringComparer.OrdinalIgnoreCase;

    /// <summary>One text for all ways to write a tag, to look it up by; equal as <see cref="Comparer"/> says.</summary>
    public static string Key(string tag) => tag.ToUpperInvariant();

    /// <summary>What is wrong with this tag, or null: 1 to 32 letters, digits, points, hyphens or underscores, a letter, digit or @ first.</summary>
    public static string? Validate(string tag) =>
        LikeAnId().IsMatch(tag) ? "a tag that looks like the id of a record would be taken for it" :
        tag.Length is >= 1 and <= 32 && (char.IsAsciiLetterOrDigit(tag[0]) || tag is ['@', _, ..]) && tag.Skip(1).All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '-' or '_')
            ? null
            : "a tag is 1 to 32 letters, digits, points, hyphens or underscores, a letter, digit or @ first, such as QG-017";

    [GeneratedRegex(@"\A[0-9]{8}T[0-9]{9}Z-", RegexOptions.IgnoreCase)]
    private static partial Regex LikeAnId();
}
