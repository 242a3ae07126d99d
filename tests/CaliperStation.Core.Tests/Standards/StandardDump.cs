using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Everything a standard holds, as text, so that two can be compared whole; the hash of the file's bytes left out.</summary>
internal static class StandardDump
{
    internal static string Of(Standard standard)
    {
        StringBuilder text = new();
        Append(text, standard with { Sha256 = "" }, string.Empty);
        return text.ToString();
    }

    private static void Append(StringBuilder text, object? value, string path)
    {
        switch (value)
        {
            case null or string or Enum or bool or int or long or Length or RelationKind:
                text.Append(CultureInfo.InvariantCulture, $"{path} = {value}\n");
                break;
            case double number:
                text.Append(CultureInfo.InvariantCulture, $"{path} = {number:R}\n");
                break;
            case IEnumerable list:
                int index = 0;
                foreach (object? item in list)
                {
                    Append(text, item, $"{path}[{(index++).ToString(CultureInfo.InvariantCulture)}]");
                }

                break;
            default:
                text.Append(CultureInfo.InvariantCulture, $"{path}: {value.GetType().Name}\n");
                foreach (PropertyInfo property in value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.GetIndexParameters().Length == 0).OrderBy(property => property.Name, StringComparer.Ordinal))
                {
                    Append(text, property.GetValue(value), $"{path}.{property.Name}");
                }

                break;
        }
    }
}
