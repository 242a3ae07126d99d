using System.Text.RegularExpressions;

namespace CaliperStation.Core.Tests.Shape;

/// <summary>The order of Core's folders: each may use only those to its left.</summary>
internal static partial class FolderOrder
{
    private const string Folders = "Quantities|Frames|Readings|Standards|Judging|Correcting|Studies|Sittings|Records|Bench|Reports";

    public static IReadOnlyList<string> LeftToRight { get; } = Folders.Split('|');

    /// <summary>Every arrow that runs against the order, and every file that stands in no known folder.</summary>
    public static IReadOnlyList<string> FaultsOf(IReadOnlyList<SourceFile> files)
    {
        List<string> faults = [];
        ILookup<string, string> types = files
            .SelectMany(file => DeclaredType().Matches(CodeText.WithoutComments(file.Text)).Select(match => (file.Folder, Name: match.Groups["name"].Value)))
            .ToLookup(type => type.Name, type => type.Folder);
        foreach (SourceFile file in files)
        {
            if (!LeftToRight.Contains(file.Folder))
            {
                faults.Add($"{file.Path} stands in none of the folders {string.Join(", ", LeftToRight)}.");
                continue;
            }

            string code = CodeText.WithoutComments(file.Text);
            if (!code.Contains($"namespace CaliperStation.Core.{file.Folder};", StringComparison.Ordinal))
            {
                faults.Add($"{file.Path} is not in the namespace of its folder.");
            }

            faults.AddRange(UsedFolders(code, types)
                .Distinct()
                .Where(used => Place(used) > Place(file.Folder))
                .Select(used => $"{file.Path} uses {used}, which stands to the right of {file.Folder}."));
        }

        return faults;
    }

    private static IEnumerable<string> UsedFolders(string code, ILookup<string, string> types) =>
    [
        .. FullName().Matches(code).Select(match => match.Groups["folder"].Value),
        .. RelativeUsing().Matches(code).Select(match => match.Groups["folder"].Value),
        .. RelativeName().Matches(code)
            .Where(match => types[match.Groups["name"].Value].Contains(match.Groups["folder"].Value))
            .Select(match => match.Groups["folder"].Value),
    ];

    private static int Place(string folder) => LeftToRight.ToList().IndexOf(folder);

    private const string Folder = "(?<folder>" + Folders + ")";

    /// <summary>In a using or in code, from the top or, as the compiler allows inside the namespace, from Core.</summary>
    [GeneratedRegex(@"(?<![\w.])(?:CaliperStation\s*\.\s*)?Core\s*\.\s*" + Folder + @"\b")]
    private static partial Regex FullName();

    [GeneratedRegex(@"\busing\s+(?:static\s+)?(?:\w+\s*=\s*)?" + Folder + @"\s*[.;]")]
    private static partial Regex RelativeUsing();

    /// <summary>A folder's name before a type's; only a type declared there makes it more than a property's name.</summary>
    [GeneratedRegex(@"(?<![\w.])" + Folder + @"\s*\.\s*(?<name>\w+)")]
    private static partial Regex RelativeName();

    [GeneratedRegex(@"\b(?:class|struct|interface|enum|record)\s+(?<name>\w+)")]
    private static partial Regex DeclaredType();
}
