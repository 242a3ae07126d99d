using System.Text;

namespace CaliperStation.Core.Tests.Shape;

/// <summary>C# text as the checks of this folder look at it.</summary>
internal static class CodeText
{
    /// <summary>The text with each comment as one space; strings stay, so that a <c>//</c> in one hides nothing.</summary>
    public static string WithoutComments(string text)
    {
        StringBuilder code = new(text.Length);
        int at = 0;
        while (at < text.Length)
        {
            int end = EndOfComment(text, at);
            if (end > at)
            {
                code.Append(' ');
            }
            else
            {
                end = EndOfLiteral(text, at);
                code.Append(text, at, end - at);
            }

            at = end;
        }

        return code.ToString();
    }

    private static int EndOfComment(string text, int at)
    {
        if (Stands(text, at, "//"))
        {
            int end = text.IndexOf('\n', at);
            return end < 0 ? text.Length : end;
        }

        return Stands(text, at, "/*") ? After(text, "*/", at + 2) : at;
    }

    /// <summary>The place behind the literal that begins here, or behind this one character.</summary>
    private static int EndOfLiteral(string text, int at)
    {
        if (Stands(text, at, "\"\"\""))
        {
            int quotes = 3;
            while (Stands(text, at + quotes, "\""))
            {
                quotes++;
            }

            return After(text, new string('"', quotes), at + quotes);
        }

        bool verbatim = Stands(text, at, "@\"") || Stands(text, at, "@$\"") || Stands(text, at, "$@\"");
        if (verbatim)
        {
            int end = After(text, "\"", text.IndexOf('"', at) + 1);
            while (Stands(text, end, "\""))
            {
                end = After(text, "\"", end + 1);
            }

            return end;
        }

        return text[at] is '"' or '\'' ? EndOfQuoted(text, at) : at + 1;
    }

    private static int EndOfQuoted(string text, int at)
    {
        int end = at + 1;
        while (end < text.Length && text[end] != text[at] && text[end] != '\n')
        {
            end += text[end] == '\\' ? 2 : 1;
        }

        return Math.Min(end + 1, text.Length);
    }

    private static bool Stands(string text, int at, string what) => string.CompareOrdinal(text, at, what, 0, what.Length) == 0;

    private static int After(string text, string what, int from)
    {
        int found = text.IndexOf(what, from, StringComparison.Ordinal);
        return found < 0 ? text.Length : found + what.Length;
    }
}
