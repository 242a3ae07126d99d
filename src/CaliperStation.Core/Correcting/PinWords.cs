using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Pins and their moves in words a person can follow: <c>left pin: up 1½ t, right 2 t</c>; <c>right pin: leave</c>.</summary>
/// <remarks>Left and right are meant as the standard means them, so that advice and prompts never contradict each other.</remarks>
internal static class PinWords
{
    /// <summary>The pins' names, in the item's order, each different.</summary>
    internal static IReadOnlyList<string> Names(IReadOnlyList<PlanePoint> pins, Sides sides)
    {
        if (pins.Count == 1)
        {
            return ["pin"];
        }

        (string left, string right) = Across(sides);
        string[] across = Labels(pins, pin => pin.Right, left, "middle", right);
        string[] upright = Labels(pins, pin => pin.Up, "bottom", "middle", "top");
        bool sideways = Spread(pins, pin => pin.Right) >= Spread(pins, pin => pin.Up);
        string[][] tries =
        [
            sideways ? across : upright,
            sideways ? upright : across,
            [.. upright.Zip(across, (row, column) => row == column ? row : $"{row} {column}")],
            [.. pins.Select((_, index) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{index + 1}"))],
        ];
        string[] names = tries.First(names => names.Distinct().Count() == pins.Count);
        return [.. names.Select(name => char.IsAsciiDigit(name[0]) ? $"pin {name}" : $"{name} pin")];
    }

    /// <summary>One pin's move.</summary>
    internal static string Move(string pin, Length right, Length up, Sides sides, LengthDisplay display)
    {
        (string leftWord, string rightWord) = Across(sides);
        List<string> parts = [];
        if (up != Length.Zero)
        {
            parts.Add($"{(up > Length.Zero ? "up" : "down")} {LengthFormat.Show(up.Abs(), display)}");
        }

        if (right != Length.Zero)
        {
            parts.Add($"{(right > Length.Zero ? rightWord : leftWord)} {LengthFormat.Show(right.Abs(), display)}");
        }

        return $"{pin}: {(parts.Count == 0 ? "leave" : string.Join(", ", parts))}";
    }

    private static (string Left, string Right) Across(Sides sides) => sides switch
    {
        Sides.Viewer => ("left", "right"),
        Sides.AsWorn => ("right", "left"),
    };

    /// <summary>Low, middle or high by thirds of the spread; the middle only where something lies on both sides of it.</summary>
    private static string[] Labels(IReadOnlyList<PlanePoint> pins, Func<PlanePoint, Length> along, string low, string middle, string high)
    {
        Length least = pins.Select(along).Min();
        long spread = Spread(pins, along);
        return [.. pins.Select(along).Select(at => (at - least).Nanometres * 3 < spread ? low : (at - least).Nanometres * 3 > 2 * spread ? high : middle)];
    }

    private static long Spread(IReadOnlyList<PlanePoint> pins, Func<PlanePoint, Length> along) =>
        (pins.Select(along).Max() - pins.Select(along).Min()).Nanometres;
}
