using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>What <c>left</c>, <c>right</c>, <c>top</c> and <c>bottom</c> are the edges of.</summary>
/// <param name="Size">Its size, or null when it is not known.</param>
/// <param name="NeverSaid">True when the file says no size, rather than one that is at fault already.</param>
internal sealed record EdgesOf(PlanePoint? Size, bool NeverSaid = false);

/// <summary>Reads lengths, points, angles and ratios of the file; a fault in the middle of a text is told at its very column.</summary>
/// <param name="unit">The unit of a bare number.</param>
/// <param name="mirrored">True when the file's left and right are the wearer's: the model's are always the viewer's.</param>
/// <param name="faults">Where faults go.</param>
internal sealed class MeasureReader(UnitMark unit, bool mirrored, FaultList faults)
{
    private const string LengthExample = "a length such as \"1 11/32\", \"34.1 mm\" or \"11t\"";
    private const string PointExample = "[right, up], such as [\"-1 1/2\", \"0\"]";

    // No coat is longer; a bound keeps every sum of lengths far from the end of the numbers.
    private static readonly Length Longest = Quantities.Length.FromNanometres(10_000_000_000);

    /// <summary>The units of a file, by its words.</summary>
    internal static (string Word, UnitMark Unit)[] Units { get; } = [("in", UnitMark.Inch), ("mm", UnitMark.Millimetre), ("t", UnitMark.Tick)];

    internal bool Mirrored => mirrored;

    internal Length? Length(TableReader table, string key) => table.Find(key) is { } entry ? Length(entry.Node, key) : null;

    internal Length? Length(TomlNode node, string key)
    {
        switch (node)
        {
            case TomlText text:
                return Length(text, text.Value, 0, key);
            case TomlNumber number:
                LengthParse parse = LengthText.ParseIn(number.Raw, unit);
                return Checked(parse, number.Place, position => number.Place with { Column = number.Place.Column + position }, key);
            default:
                faults.Add(node.Place, $"{key} is {node.Words}", LengthExample);
                return null;
        }
    }

    /// <summary>A length in a text, from an index on: <paramref name="part"/> is what stands there.</summary>
    internal Length? Length(TomlText text, string part, int from, string key) =>
        IsOfWhat(part) ? Refused(text.PlaceOf(from), key) : Checked(LengthText.ParseIn(part, unit), text.PlaceOf(from), position => text.PlaceOf(from + position), key);

    // Where ticks are counted, "1/2" could be of a tick or of an inch: 0.4 mm or 12.7.
    private bool IsOfWhat(string part) => unit == UnitMark.Tick && part.Contains('/', StringComparison.Ordinal) && !part.Any(c => char.IsLetter(c) || c == '"');

    private Length? Refused(TextPlace place, string key)
    {
        faults.Add(place, $"{key}: a fraction without a unit could be of a tick or of an inch", "its unit as well, \"3/16 in\"; or ticks, \"6\", \"16.5\"");
        return null;
    }

    /// <summary>An offset or a place; with <paramref name="edges"/>, <c>left</c>, <c>right</c>, <c>top</c>, <c>bottom</c> and <c>middle</c> count too.</summary>
    internal PlanePoint? Point(TomlNode node, string key, EdgesOf? edges = null)
    {
        if (node is not TomlList { Items.Count: 2 } list)
        {
            faults.Add(node.Place, node is TomlList other ? $"{key} has {other.Items.Count} entries" : $"{key} is {node.Words}", PointExample);
            return null;
        }

        Length? right = edges is not null && list.Items[0] is TomlText x && Edge(x, key, "left", "right", edges, edges.Size?.Right) is { } side ? side.Value : Length(list.Items[0], key);
        Length? up = edges is not null && list.Items[1] is TomlText y && Edge(y, key, "bottom", "top", edges, edges.Size?.Up) is { } end ? end.Value : Length(list.Items[1], key);
        return right is { } r && up is { } u ? Turned(new PlanePoint(r, u)) : null;
    }

    internal PlanePoint? Point(TableReader table, string key, EdgesOf? edges = null) =>
        table.Find(key) is { } entry ? Point(entry.Node, key, edges) : null;

    /// <summary>Width and height, both positive.</summary>
    internal PlanePoint? Size(TableReader table, string key)
    {
        if (table.Find(key)?.Node is not { } node)
        {
            return null;
        }

        if (node is not TomlList { Items.Count: 2 } list)
        {
            string both = node is TomlText one ? FaultList.Shown(one.Value, 30) : "4 1/8";
            faults.Add(node.Place, $"{key} of {table.Label} is not a width and a height", $"{key} = [\"{both}\", \"{(node is TomlText ? both : "3/4")}\"]: a width and a height, of what is round its breadth twice");
            return null;
        }

        Length? width = Positive(list.Items[0], key), height = Positive(list.Items[1], key);
        return width is { } w && height is { } h ? new PlanePoint(w, h) : null;
    }

    internal Length? Positive(TomlNode node, string key)
    {
        Length? length = Length(node, key);
        if (length is { Nanometres: <= 0 })
        {
            faults.Add(node.Place, $"{key} is not positive", "a length above 0");
            return null;
        }

        return length;
    }

    /// <summary>An angle such as <c>45 deg</c>, in milliradians.</summary>
    internal double? Angle(TomlNode node, string key)
    {
        if (node is TomlText text && Degrees(text.Value) is { } degrees && Math.Abs(degrees) <= 360)
        {
            return degrees * Math.PI / 180 * 1000;
        }

        faults.Add(node.Place, node is TomlText bad ? $"{key} is no angle: {FaultList.Quote(bad.Value)}" : $"{key} is {node.Words}", "an angle such as \"45 deg\"");
        return null;
    }

    /// <summary>A ratio such as <c>1/3</c> or <c>0.333</c>.</summary>
    internal double? Ratio(TomlNode node, string key)
    {
        double? value = node switch
        {
            TomlNumber number => number.Value,
            TomlText text => Ratio(text.Value),
            _ => null,
        };
        if (value is { } ratio && double.IsFinite(ratio) && Math.Abs(ratio) <= 1000)
        {
            return ratio;
        }

        faults.Add(node.Place, node is TomlText bad ? $"{key} is no share: {FaultList.Quote(bad.Value)}" : $"{key} is no share", "a share such as \"1/3\" or 0.333");
        return null;
    }

    internal static double? Ratio(string text)
    {
        string[] parts = text.Trim().Split('/');
        double?[] numbers = [.. parts.Select(part => Number(part.Trim()))];
        return numbers switch
        {
            [{ } one] => one,
            [{ } over, { } under] when under != 0 => over / under,
            _ => null,
        };
    }

    /// <summary>The number before <c>deg</c> or <c>°</c>, or null.</summary>
    internal static double? Degrees(string text)
    {
        string trimmed = text.Trim();
        string? number = trimmed.EndsWith("deg", StringComparison.Ordinal) ? trimmed[..^3] : trimmed.EndsWith('°') ? trimmed[..^1] : null;
        return number is null ? null : Number(number.Trim());
    }

    /// <summary>The point as the viewer sees it.</summary>
    internal PlanePoint Turned(PlanePoint point) => mirrored ? point with { Right = -point.Right } : point;

    private Length? Checked(LengthParse parse, TextPlace place, Func<int, TextPlace> at, string key)
    {
        if (!parse.IsLength)
        {
            faults.Add(at(parse.Fault.Position), $"{key}: {parse.Fault.Message}", LengthExample);
            return null;
        }

        if (parse.Value.Value > Longest || parse.Value.Value < -Longest)
        {
            faults.Add(place, $"{key} is more than 10 m", "a length that fits on a coat");
            return null;
        }

        return parse.Value.Value;
    }

    // Null: the text is no edge's name. "1/4 from left" lies that far inside the edge.
    private (Length? Value, bool Known)? Edge(TomlText text, string key, string low, string high, EdgesOf edges, Length? size)
    {
        const string From = " from ";
        int from = text.Value.IndexOf(From, StringComparison.Ordinal);
        string edge = from < 0 ? text.Value : text.Value[(from + From.Length)..];
        if (edge != low && edge != high && (edge != "middle" || from >= 0))
        {
            return null;
        }

        Length? inward = from < 0 ? Quantities.Length.Zero : Length(text, text.Value[..from], 0, key);
        if (inward is not { } inset)
        {
            return (null, false);
        }

        if (size is not { } known)
        {
            if (edges.NeverSaid)
            {
                faults.Add(text.Place, $"{key} names an edge of something whose size is not known", "a length from its centre, or size = […] in its [[landmark]]");
            }

            return (null, false);
        }

        Length half = known.DividedBy(2, Rounding.HalfEven);
        return (edge == low ? inset - half : edge == high ? half - inset : Quantities.Length.Zero, true);
    }

    private static double? Number(string text) =>
        double.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number) ? number : null;
}
