using System.Globalization;

namespace CaliperStation.Core.Standards;

/// <summary>Reads the way an item moves when a gap grows.</summary>
internal static class DirectionText
{
    private static readonly double Diagonal = Math.Sqrt(0.5);

    // Anticlockwise from the right, an eighth of a turn apart.
    private static readonly (string Name, double Right, double Up)[] Eighths =
    [
        ("right", 1, 0), ("up-right", Diagonal, Diagonal), ("up", 0, 1), ("up-left", -Diagonal, Diagonal),
        ("left", -1, 0), ("down-left", -Diagonal, -Diagonal), ("down", 0, -1), ("down-right", Diagonal, -Diagonal),
    ];

    /// <summary>The names, for messages and the schema.</summary>
    internal static IEnumerable<string> Names => Eighths.Select(named => named.Name);

    /// <summary>The direction, or null; an angle counts anticlockwise from the right. A mirrored file's right is the viewer's left.</summary>
    internal static Direction? Parse(string text, bool mirrored)
    {
        foreach ((string name, double right, double up) in Eighths)
        {
            if (text == name)
            {
                return Of(text, right, up, mirrored);
            }
        }

        if (MeasureReader.Degrees(text) is not { } degrees || Math.Abs(degrees) > 360)
        {
            return null;
        }

        if (degrees % 45 == 0)   // exact where a name would be exact
        {
            (string _, double right, double up) = Eighths[(((int)degrees / 45) + 8) % 8];
            return Of(text, right, up, mirrored);
        }

        (double sine, double cosine) = Math.SinCos(degrees * Math.PI / 180);
        return Of(text, cosine, sine, mirrored);
    }

    /// <summary>The other way.</summary>
    internal static Direction Turned(Direction direction) => new(Opposite(direction), -direction.Right, -direction.Up);

    /// <summary>The other way, as a file writes it.</summary>
    internal static string Opposite(Direction direction) => Array.FindIndex(Eighths, named => named.Name == direction.Name) is >= 0 and var at
        ? Eighths[(at + 4) % 8].Name
        : string.Create(CultureInfo.InvariantCulture, $"{(MeasureReader.Degrees(direction.Name) ?? 0) + 180} deg");

    private static Direction Of(string name, double right, double up, bool mirrored) => new(name, mirrored ? -right : right, up);
}
