using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using CaliperStation.Core.Quantities;
using Terminal.Gui.Text;

namespace CaliperStation.Screen;

/// <summary>A text element (what a reader takes for one character) and the columns it takes, 1 or 2.</summary>
internal readonly record struct TextElement(string Text, int Columns);

/// <summary>Texts counted in columns, as the terminal will show them: made safe to show, split, cut and wrapped. Whatever the screen shows goes through here.</summary>
internal static class TextCells
{
    /// <summary>Longest text element that is shown, in UTF-16 units: a letter with a heap of marks on it would smear over other rows.</summary>
    private const int MaxElementLength = 8;

    /// <summary>More columns than any terminal has: a hostile text must not cost a turn of the screen.</summary>
    private const int Widest = 1000;

    private const char PartMark = '·';

    /// <summary>The elements of a text; what is not printable is escaped, and nowhere else on the way to the screen.</summary>
    public static IEnumerable<TextElement> Elements(string text)
    {
        string safe = PrintableText.Escape(text);
        int index = 0;
        while (index < safe.Length)
        {
            int length = StringInfo.GetNextTextElementLength(safe, index);
            string element = safe.Substring(index, length);
            index += length;
            int columns = element.Length == 1 && IsSurelyNarrow(element[0]) ? 1 : element.GetColumns();
            yield return columns is 1 or 2 && length <= MaxElementLength ? new TextElement(element, columns) : new TextElement("?", 1);
        }
    }

    /// <summary>The columns a text takes; counting ends beyond <see cref="Widest"/>.</summary>
    public static int Columns(string text)
    {
        int columns = 0;
        foreach (TextElement element in Elements(text))
        {
            columns += element.Columns;
            if (columns > Widest)
            {
                break;
            }
        }

        return columns;
    }

    /// <summary>The text if it fits, else as much of it as fits with <c>…</c> at its end, so that a cut is seen as one.</summary>
    public static string Fit(string text, int columns)
    {
        if (Columns(text) <= columns)
        {
            return text;
        }

        return columns < 1 ? string.Empty : Take(text, columns - 1) + "…";
    }

    /// <summary>A name that is too long ends at a word, with <c>…</c>; within one where that would lose more than a third of the room.</summary>
    public static string FitName(string text, int columns) =>
        Columns(text) > columns && FitWords(text, columns - 2) is var words && Columns(words) * 3 >= columns * 2 && text.StartsWith(words, StringComparison.Ordinal) ? $"{words} …" : Fit(text, columns);

    /// <summary>As many of the text's first words as fit whole; where the first does not fit, the first one that does; else nothing.</summary>
    public static string FitWords(string text, int columns)
    {
        string[] words = text.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        for (int count = words.Length; count > 0; count--)
        {
            if (string.Join(' ', words[..count]) is var first && Columns(first) <= columns)
            {
                return first;
            }
        }

        return words.FirstOrDefault(word => Columns(word) <= columns) ?? string.Empty;
    }

    /// <summary>A word and as many of the parts that <c>·</c> separates as fit whole after it: a cut figure would read as another one.</summary>
    public static string FitParts(string first, string parts, int columns)
    {
        string fitted = Columns(first) <= columns ? first : string.Empty;
        foreach (string part in parts.Split(PartMark, StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            string longer = fitted.Length == 0 ? part : fitted + " " + PartMark + " " + part;
            if (Columns(longer) > columns)
            {
                break;
            }

            fitted = longer;
        }

        return fitted;
    }

    /// <summary>
    /// The text in lines of at most <paramref name="columns"/>, broken at blanks where it can be, and inside a word that is
    /// longer than a line. No element is lost but the blanks a line is broken at; what needs more than <paramref name="rows"/>
    /// ends with <c>…</c>.
    /// </summary>
    public static IReadOnlyList<string> Wrap(string text, int columns, int rows = int.MaxValue)
    {
        List<string> lines = [];
        if (columns < 2 || rows < 1)
        {
            return lines;
        }

        long most = Math.Min(rows, (long)Widest) * (columns + 1);
        TextElement[] elements = [.. OneBlankEach(text).Take((int)Math.Min(most, int.MaxValue) + columns)];
        int next = SkipBlanks(elements, 0);
        while (next < elements.Length)
        {
            if (lines.Count == rows)
            {
                lines[^1] = Take(lines[^1], columns - 1) + "…";
                break;
            }

            int end = LineEnd(elements, next, columns);
            lines.Add(Text(elements.AsSpan(next, end - next)).TrimEnd());
            next = SkipBlanks(elements, end);
        }

        return lines;
    }

    /// <summary>Latin letters, and the lines and blocks that the screen itself draws; the rest is looked up.</summary>
    private static bool IsSurelyNarrow(char character) => character is < '\u0300' or (>= '\u2500' and <= '\u259F');

    private static IEnumerable<TextElement> OneBlankEach(string text)
    {
        bool wasBlank = false;
        foreach (TextElement element in Elements(text))
        {
            bool isBlank = element.Text == " ";
            if (!isBlank || !wasBlank)
            {
                yield return element;
            }

            wasBlank = isBlank;
        }
    }

    private static int SkipBlanks(TextElement[] elements, int index)
    {
        while (index < elements.Length && elements[index].Text == " ")
        {
            index++;
        }

        return index;
    }

    private static int LineEnd(TextElement[] elements, int start, int columns)
    {
        int end = start;
        int blank = start;
        while (end < elements.Length && elements[end].Columns <= columns)
        {
            blank = elements[end].Text == " " ? end : blank;
            columns -= elements[end].Columns;
            end++;
        }

        bool insideWord = end < elements.Length && elements[end].Text != " ";
        return insideWord && blank > start ? blank : end;
    }

    private static string Take(string text, int columns)
    {
        List<TextElement> taken = [];
        foreach (TextElement element in Elements(text))
        {
            columns -= element.Columns;
            if (columns < 0)
            {
                break;
            }

            taken.Add(element);
        }

        return Text(CollectionsMarshal.AsSpan(taken));
    }

    private static string Text(ReadOnlySpan<TextElement> elements)
    {
        StringBuilder text = new(elements.Length);
        foreach (TextElement element in elements)
        {
            text.Append(element.Text);
        }

        return text.ToString();
    }
}
